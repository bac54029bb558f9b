/** Carbohydrate and fat oxidised, from gas exchange. */
import { defineFormula, n } from './define.ts';
import { clampRq, luskSource, nitrogen, rq, RQ_OF_FAT, rqRange, vco2, vo2 } from './energy.ts';
import type { Finding, Formula, Source } from './formula.ts';

interface SubstrateLine {
  readonly id: string;
  readonly title: string;
  readonly label: string;
  readonly symbol: string;
  readonly co2: number;
  readonly o2: number;
  /** per gram of urinary nitrogen */
  readonly nitrogen?: number;
  readonly source: Source;
  readonly population?: string;
}

const substrateFindings = (value: number, v: { readonly vo2: number; readonly vco2: number }): readonly Finding[] => [
  ...(v.vco2 > v.vo2 ? [{ text: 'The RER is above 1.00: CO₂ from buffering is in it, and substrate use cannot be read from it.' }] : []),
  ...(value < 0 ? [{ text: 'The equation gives less than nothing here; read it as zero.' }] : []),
];

/** grams per minute: co2·VCO₂ + o2·VO₂ (+ nitrogen·N); the shown value is the equation's own, and a negative one warns. */
function substrate(s: SubstrateLine): Formula {
  const { id, title, label, symbol, co2, o2, nitrogen: perNitrogen, source, population } = s;
  const withNitrogen = perNitrogen ?? 0;
  const term = (coefficient: number, what: string, lead: boolean) =>
    `${coefficient < 0 ? (lead ? '−' : ' − ') : lead ? '' : ' + '}${n(Math.abs(coefficient), 3)}${what}`;
  const compute = (v: { readonly vo2: number; readonly vco2: number; readonly nitrogen?: number }) =>
    co2 * v.vco2 + o2 * v.vo2 + withNitrogen * (v.nitrogen ?? 0);
  const first: readonly [number, 'vco2' | 'vo2'] = co2 > 0 ? [co2, 'vco2'] : [o2, 'vo2'];
  const second: readonly [number, 'vco2' | 'vo2'] = co2 > 0 ? [o2, 'vo2'] : [co2, 'vco2'];
  const name = { vco2: 'VCO₂', vo2: 'VO₂' } as const;
  return defineFormula({
    id,
    title,
    family: 'Substrate use',
    // a form without a term for protein has no input for nitrogen
    inputs: (perNitrogen === undefined ? { vo2, vco2 } : { vo2, vco2, nitrogen }) as {
      vo2: typeof vo2;
      vco2: typeof vco2;
      nitrogen: typeof nitrogen;
    },
    output: { label, symbol, unit: 'g/min', decimals: 2 },
    validity: [],
    ...(population ? { population } : {}),
    check: (v) => substrateFindings(compute(v), v),
    source,
    equation: `${symbol} = ${term(first[0], `·${name[first[1]]}`, true)}${term(second[0], `·${name[second[1]]}`, false)}${perNitrogen === undefined ? '' : term(perNitrogen, '·N', false)}`,
    compute,
    substituted: (v) =>
      `${term(first[0], ` × ${n(v[first[1]])}`, true)}${term(second[0], ` × ${n(v[second[1]])}`, false)}${v.nitrogen && perNitrogen !== undefined ? term(perNitrogen, ` × ${n(v.nitrogen)}`, false) : ''}`,
  });
}

const frayn: Source = {
  citation: 'Frayn KN. J Appl Physiol 1983;55:628',
  provenance: 'P2',
  note: 'nitrogen terms from memory; several pages print other authors’ coefficients under this name',
};
const peronnet: Source = {
  citation: 'Péronnet F, Massicotte D. Can J Sport Sci 1991;16:23',
  provenance: 'P2',
  note: 'several pages print these coefficients under Frayn’s name',
};
const jw: Source = { citation: 'Jeukendrup AE, Wallis GA. Int J Sports Med 2005;26:S28', provenance: 'P2' };
const withProtein: Source = {
  citation: 'forms with a term for protein, as on public pages; glycogen taken as starch',
  provenance: 'P',
  note: 'the pages name no single author; labelled here by what they count',
};
const carbohydrate = { label: 'Carbohydrate oxidation', symbol: 'CHO' } as const;
const fat = { label: 'Fat oxidation', symbol: 'fat' } as const;

const oxidation: readonly Formula[] = [
  substrate({
    id: 'carbohydrate-frayn-1983',
    title: 'Carbohydrate oxidation (Frayn 1983)',
    ...carbohydrate,
    co2: 4.55,
    o2: -3.21,
    nitrogen: -2.87,
    source: frayn,
  }),
  substrate({ id: 'fat-frayn-1983', title: 'Fat oxidation (Frayn 1983)', ...fat, co2: -1.67, o2: 1.67, nitrogen: -1.92, source: frayn }),
  substrate({
    id: 'carbohydrate-peronnet-1991',
    title: 'Carbohydrate oxidation (Péronnet & Massicotte 1991)',
    ...carbohydrate,
    co2: 4.585,
    o2: -3.226,
    source: peronnet,
  }),
  substrate({
    id: 'fat-peronnet-1991',
    title: 'Fat oxidation (Péronnet & Massicotte 1991)',
    ...fat,
    co2: -1.701,
    o2: 1.695,
    source: peronnet,
  }),
  substrate({
    id: 'carbohydrate-jeukendrup-wallis-low',
    title: 'Carbohydrate oxidation at 40–50 % of VO₂max (Jeukendrup & Wallis 2005)',
    ...carbohydrate,
    co2: 4.344,
    o2: -3.061,
    population: 'low intensity, 40 to 50 % of VO₂max',
    source: { ...jw, provenance: 'M' },
  }),
  substrate({
    id: 'carbohydrate-jeukendrup-wallis-moderate',
    title: 'Carbohydrate oxidation at 50–75 % of VO₂max (Jeukendrup & Wallis 2005)',
    ...carbohydrate,
    co2: 4.21,
    o2: -2.962,
    population: 'moderate to high intensity, 50 to 75 % of VO₂max',
    source: jw,
  }),
  substrate({
    id: 'carbohydrate-glucose-with-protein',
    title: 'Carbohydrate oxidation as glucose, protein counted',
    ...carbohydrate,
    co2: 4.571,
    o2: -3.231,
    nitrogen: -2.826,
    source: withProtein,
  }),
  substrate({
    id: 'carbohydrate-glycogen-with-protein',
    title: 'Carbohydrate oxidation as glycogen, protein counted',
    ...carbohydrate,
    co2: 4.114,
    o2: -2.908,
    nitrogen: -2.543,
    source: withProtein,
  }),
  substrate({
    id: 'fat-with-protein',
    title: 'Fat oxidation, protein counted',
    ...fat,
    co2: -1.689,
    o2: 1.689,
    nitrogen: -1.943,
    source: withProtein,
  }),
  substrate({ id: 'fat-jeukendrup-wallis', title: 'Fat oxidation (Jeukendrup & Wallis 2005)', ...fat, co2: -1.701, o2: 1.695, source: jw }),
];

// Grams per litre of oxygen of the Lusk table: 1.231 g of carbohydrate and 0.496 g of fat at its two ends. Between them the printed
// values are the table's own and are interpolated.
const gramsPerLitre: readonly (readonly [rq: number, carbohydrate: number, fat: number])[] = [
  [RQ_OF_FAT, 0, 0.496],
  [0.75, 0.17, 0.428],
  [0.8, 0.371, 0.347],
  [0.85, 0.579, 0.263],
  [0.9, 0.791, 0.178],
  [0.95, 1.008, 0.09],
  [1, 1.231, 0],
];
const gramsAt = (value: number, column: 1 | 2): number => {
  const x = clampRq(value);
  const high = gramsPerLitre.findIndex((row) => row[0] >= x);
  const upper = gramsPerLitre[Math.max(high, 0)];
  const lower = gramsPerLitre[Math.max(high - 1, 0)];
  if (!upper || !lower || upper[0] === lower[0]) return upper?.[column] ?? Number.NaN;
  return lower[column] + ((x - lower[0]) / (upper[0] - lower[0])) * (upper[column] - lower[column]);
};

const grams = (id: string, title: string, label: string, symbol: string, column: 1 | 2): Formula =>
  defineFormula({
    id,
    title,
    family: 'Substrate use',
    inputs: { rq },
    output: { label, symbol, unit: 'g/L', decimals: 3 },
    validity: rqRange,
    source: { ...luskSource, note: 'seven rows of the printed table, linear between them' },
    equation:
      column === 1
        ? '0.707 → 0, 0.75 → 0.170, 0.80 → 0.371, 0.85 → 0.579, 0.90 → 0.791, 0.95 → 1.008, 1.00 → 1.231'
        : '0.707 → 0.496, 0.75 → 0.428, 0.80 → 0.347, 0.85 → 0.263, 0.90 → 0.178, 0.95 → 0.090, 1.00 → 0',
    compute: (v) => gramsAt(v.rq, column),
    substituted: (v) => `table at ${n(clampRq(v.rq), 3)}`,
  });

const gramsFormulas: readonly Formula[] = [
  grams('carbohydrate-per-litre-oxygen', 'Carbohydrate per litre of oxygen at an RQ', 'Carbohydrate per litre of oxygen', 'g CHO/L', 1),
  grams('fat-per-litre-oxygen', 'Fat per litre of oxygen at an RQ', 'Fat per litre of oxygen', 'g fat/L', 2),
];

/** kJ for each litre of oxygen, and the RQ, when one fuel alone is burnt. */
const fuels = { fat: [19.5, 0.71], protein: [19.48, 0.835], carbohydrate: [21.12, 1] } as const;

export const energyPerLitreByFuel: Formula = defineFormula({
  id: 'energy-per-litre-oxygen-by-fuel',
  title: 'Energy per litre of oxygen from one fuel (Livesey & Elia)',
  family: 'Substrate use',
  inputs: {
    fuel: {
      label: 'Fuel',
      symbol: 'fuel',
      unit: '1',
      choices: [
        { value: 'carbohydrate', label: 'carbohydrate' },
        { value: 'fat', label: 'fat' },
        { value: 'protein', label: 'protein' },
      ],
    },
  },
  output: { label: 'Energy per litre of oxygen', symbol: 'E/VO₂', unit: 'kJ/L', alsoUnits: ['kcal/L'], decimals: 2 },
  validity: [],
  source: { citation: 'Livesey G, Elia M, as on a page of the United Nations University', provenance: 'P' },
  equation: 'fat 19.50 (RQ 0.710), protein 19.48 (RQ 0.835), carbohydrate 21.12 (RQ 1.000) kJ/L',
  compute: (v) => fuels[v.fuel][0],
  substituted: (v) => `${v.fuel}, RQ ${fuels[v.fuel][1].toFixed(3)}`,
});

export const substrateFormulas: readonly Formula[] = [...oxidation, ...gramsFormulas, energyPerLitreByFuel];
