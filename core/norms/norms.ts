/** Reading a measured oxygen uptake against a table of norms. */
import { provenanceInWords, type Provenance, type Source } from '../formulas/formula.ts';
import { friendCycle2017 } from './friend-cycle-2017.ts';
import { friendTreadmill2015 } from './friend-treadmill-2015.ts';
import { friendTreadmill2022 } from './friend-treadmill-2022.ts';
import { ageBandLabel, guidelineCategories, type CategoryNames, type NormMode, type NormSex, type NormTable } from './table.ts';

export { ageBandLabel, guidelineCategories } from './table.ts';
export type { AgeBand, CategoryNames, NormMode, NormRow, NormSex, NormTable } from './table.ts';

export const normTables: readonly NormTable[] = [friendTreadmill2015, friendTreadmill2022, friendCycle2017];

/** The table with this id, or undefined. */
export function normTableById(id: string): NormTable | undefined {
  return normTables.find((table) => table.id === id);
}

export interface NormPoint {
  readonly percentile: number;
  /** mL/kg/min */
  readonly value: number;
  readonly provenance: Provenance;
}

export type PercentileResult =
  | {
      readonly ok: true;
      /** by linear interpolation; '<P5' or '>P95' (the table's own outermost rows) beyond it */
      readonly percentile: number | `<P${number}` | `>P${number}`;
      /** the rows on either side; one is absent beyond the table's ends, and both are the same on a row itself */
      readonly low?: NormPoint;
      readonly high?: NormPoint;
      /** undefined where the table cannot tell the category */
      readonly category: string | undefined;
      readonly ageBand: string;
      readonly table: NormTable;
      readonly warnings: readonly string[];
      readonly source: Source;
    }
  | {
      /** the result is void: no band is given, and the raw value stands alone */
      readonly ok: false;
      readonly error: { readonly code: 'no-table' | 'no-sex' | 'no-age-row' | 'not-a-value'; readonly message: string };
    };

export interface PercentileQuestion {
  readonly table: NormTable | string;
  readonly sex: NormSex | undefined;
  readonly ageYears: number | undefined;
  /** measured, mL/kg/min */
  readonly vo2: number;
  /** the ergometer of the test; where it is not the table's, the result says so plainly */
  readonly testMode?: NormMode;
  readonly categories?: CategoryNames;
}

/**
 * The percentile and category of a measured oxygen uptake. The decade of age at the test chooses the column; between rows it
 * interpolates linearly; beyond the outermost rows it names the bound and nothing more. No row is invented: without the sex, or
 * for an age that the table does not cover (all tables here begin at 20 years), the result is void with its reason.
 */
export function percentileOf(question: PercentileQuestion): PercentileResult {
  const table = typeof question.table === 'string' ? normTableById(question.table) : question.table;
  if (!table) return { ok: false, error: { code: 'no-table', message: `There is no table of norms called "${String(question.table)}".` } };
  const { sex, ageYears, vo2 } = question;
  if (!Number.isFinite(vo2) || vo2 <= 0) {
    return { ok: false, error: { code: 'not-a-value', message: 'There is no oxygen uptake to look up.' } };
  }
  if (sex !== 'male' && sex !== 'female') {
    return {
      ok: false,
      error: {
        code: 'no-sex',
        message: `${table.title} has one table for men and one for women; without the sex used in the equations there is no band.`,
      },
    };
  }
  const column =
    ageYears === undefined ? -1 : table.ages.findIndex((band) => Math.floor(ageYears) >= band.from && Math.floor(ageYears) <= band.to);
  const band = table.ages[column];
  if (ageYears === undefined || !band) {
    const span = `${table.ages[0]?.from} to ${table.ages.at(-1)?.to}`;
    const age = ageYears === undefined ? 'without an age' : `for ${Math.floor(ageYears)} years`;
    return { ok: false, error: { code: 'no-age-row', message: `${table.title} covers ${span} years; it has no row ${age}.` } };
  }

  const points: NormPoint[] = table.rows[sex].flatMap((row) => {
    const value = row.values[column];
    return value === null || value === undefined ? [] : [{ percentile: row.percentile, value, provenance: row.provenance }];
  });
  const place = locate(points, vo2);
  const names = question.categories ?? guidelineCategories;
  const { category, interpolatedEdge } = categorise(place, points, names);
  const warnings = warningsFor(table, question, [place.low, place.high], interpolatedEdge);
  return {
    ok: true,
    percentile: place.percentile,
    ...(place.low ? { low: place.low } : {}),
    ...(place.high ? { high: place.high } : {}),
    category,
    ageBand: ageBandLabel(band),
    table,
    warnings,
    source: table.source,
  };
}

interface Place {
  readonly percentile: number | `<P${number}` | `>P${number}`;
  readonly low?: NormPoint;
  readonly high?: NormPoint;
}

function locate(points: readonly NormPoint[], vo2: number): Place {
  const on = points.find((point) => point.value === vo2);
  if (on) return { percentile: on.percentile, low: on, high: on };
  const highIndex = points.findIndex((point) => point.value > vo2);
  const high = points[highIndex];
  if (!high) {
    const last = points.at(-1);
    return last ? { percentile: `>P${last.percentile}`, low: last } : { percentile: '>P0' };
  }
  const low = points[highIndex - 1];
  if (!low) return { percentile: `<P${high.percentile}`, high };
  const share = (vo2 - low.value) / (high.value - low.value);
  return { percentile: low.percentile + share * (high.percentile - low.percentile), low, high };
}

function categorise(
  place: Place,
  points: readonly NormPoint[],
  names: CategoryNames,
): { readonly category: string | undefined; readonly interpolatedEdge: boolean } {
  const nameAt = (percentile: number) => names.names[names.edges.filter((edge) => percentile >= edge).length];
  if (typeof place.percentile === 'number') {
    const crossed = names.edges.some(
      (edge) =>
        place.low &&
        place.high &&
        edge > place.low.percentile &&
        edge < place.high.percentile &&
        !points.some((p) => p.percentile === edge),
    );
    return { category: nameAt(place.percentile), interpolatedEdge: crossed };
  }
  // Beyond an end the category is known only as far as the edges beyond it leave it open.
  const bound = Number(place.percentile.slice(2));
  const below = place.percentile.startsWith('<');
  const open = below ? names.edges.filter((edge) => edge < bound) : names.edges.filter((edge) => edge > bound);
  if (open.length === 0) return { category: below ? names.names[0] : names.names[5], interpolatedEdge: false };
  if (!below && open.length === 1) return { category: `${names.names[4]} or ${names.names[5]}`, interpolatedEdge: false };
  return { category: undefined, interpolatedEdge: false };
}

function warningsFor(
  table: NormTable,
  question: PercentileQuestion,
  used: readonly (NormPoint | undefined)[],
  interpolatedEdge: boolean,
): readonly string[] {
  const warnings: string[] = [];
  if (question.testMode !== undefined && question.testMode !== table.mode) {
    warnings.push(
      question.testMode === 'cycle'
        ? 'This is a cycle value read on a treadmill table: the same person usually reaches 10 to 20 % less on the cycle, so the band is too low.'
        : 'This is a treadmill value read on a cycle table: the same person usually reaches 10 to 20 % less on the cycle, so the band is too high.',
    );
  }
  const remembered = [...new Set(used.filter((point) => point?.provenance === 'M').map((point) => point?.percentile))];
  if (remembered.length > 0) {
    warnings.push(`Row ${remembered.map((p) => `P${p}`).join(' and ')}: ${provenanceInWords('M')}.`);
  }
  if (interpolatedEdge) warnings.push('A category edge lies between two rows of the table here, and is interpolated.');
  return warnings;
}
