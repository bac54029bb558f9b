/** Columns that the file does not have and that follow from those that it has. */
import { outputOf, respiratoryExchangeRatio, uptakeOf } from '../formulas/gas-exchange.ts';
import { conditionFactor, type Room } from './conditions.ts';
import { columnOf, type GasColumn } from './series.ts';
import type { GasValue } from './quantities.ts';

type Columns = Readonly<Partial<Record<GasValue, GasColumn>>>;

/**
 * Works out, in this order and only what is missing: VO₂ and VCO₂ from VE and the expired fractions (Haldane; inspired air
 * 20.93 % and 0.03 %); VCO₂ from VO₂ and RER; VO₂ from VCO₂ and RER; RER from VCO₂ and VO₂. Each says how it was found.
 */
export function deriveColumns(columns: Columns, room: Room | undefined): { readonly columns: Columns; readonly notes: readonly string[] } {
  const found: Partial<Record<GasValue, GasColumn>> = {};
  const notes: string[] = [];
  const get = (quantity: GasValue): GasColumn | undefined => columns[quantity] ?? found[quantity];
  const derive = (quantity: GasValue, from: readonly GasColumn[], how: string, compute: (...values: number[]) => number): void => {
    const length = from[0]?.values.length ?? 0;
    const values = Array.from({ length }, (_, row) => {
      if (!from.every((column) => column.present[row] === 1)) return undefined;
      return compute(...from.map((column) => column.values[row] ?? 0));
    });
    found[quantity] = columnOf(quantity, values, how);
    notes.push(how);
  };

  const { ve, feo2, feco2 } = columns;
  if (!get('vo2') && ve && feo2 && feco2) {
    const toStandard = conditionFactor('BTPS', 'STPD', room);
    if (toStandard === undefined) {
      notes.push(
        'Oxygen uptake could be worked out from VE and the expired fractions; it needs the barometric pressure, which is not known.',
      );
    } else {
      const air = (ventilation: number, o2: number, co2: number) => ({
        ve: ventilation * toStandard,
        feo2: o2 / 100,
        feco2: co2 / 100,
        inspired: 'textbook' as const,
      });
      derive(
        'vo2',
        [ve, feo2, feco2],
        'VO₂ was worked out from VE and the expired fractions (Haldane; inspired air 20.93 % O₂, 0.03 % CO₂).',
        (a, b, c) => uptakeOf(air(a ?? 0, b ?? 0, c ?? 0)),
      );
      if (!get('vco2'))
        derive(
          'vco2',
          [ve, feo2, feco2],
          'VCO₂ was worked out from VE and the expired fractions (Haldane; inspired air 20.93 % O₂, 0.03 % CO₂).',
          (a, b, c) => outputOf(air(a ?? 0, b ?? 0, c ?? 0)),
        );
    }
  }
  const { rer } = columns;
  const vo2 = get('vo2');
  const vco2 = get('vco2');
  if (!vco2 && vo2 && rer)
    derive('vco2', [vo2, rer], 'VCO₂ was worked out as VO₂ times RER.', (uptake, ratio) => (uptake ?? 0) * (ratio ?? 0));
  if (!vo2 && vco2 && rer)
    derive('vo2', [vco2, rer], 'VO₂ was worked out as VCO₂ divided by RER.', (output, ratio) =>
      (ratio ?? 0) > 0 ? (output ?? 0) / (ratio ?? 1) : Number.NaN,
    );
  const uptake = get('vo2');
  const output = get('vco2');
  if (!rer && uptake && output)
    derive('rer', [output, uptake], 'RER was worked out as VCO₂ divided by VO₂.', (out, up) =>
      (up ?? 0) > 0 ? respiratoryExchangeRatio.compute({ vco2: out ?? 0, vo2: up ?? 1 }) : Number.NaN,
    );
  return { columns: found, notes };
}
