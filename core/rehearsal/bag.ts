/**
 * What a collection bag would show for a simulated person: the Haldane relations run backwards, so that working the bag out
 * by hand gives the uptake that went in. Constants: inspired fractions 0.2093 and
 * 0.0003 (McArdle 8e), BTPS at 37 °C with 47 mmHg, vapour pressure by Buck 1981 (J Appl Meteorol 20:1527).
 */
const INSPIRED = { oxygen: 0.2093, carbonDioxide: 0.0003, nitrogen: 0.7904 } as const;

export interface BagContent {
  /** Litres as measured (ATPS) in one minute. */
  readonly volume: number;
  /** Per cent. */
  readonly feo2: number;
  readonly feco2: number;
}

/** @param ve L/min BTPS; @param vo2 and @param vco2 L/min STPD; @param pressure mmHg; @param temperature of the bag, °C. */
export function bagContent(ve: number, vo2: number, vco2: number, pressure = 752, temperature = 22): BagContent {
  const stpd = (ve * ((pressure - 47) / 760) * 273.15) / 310.15;
  const vapour = 0.750062 * 6.1121 * Math.exp((17.502 * temperature) / (240.97 + temperature));
  const volume = stpd / (((pressure - vapour) / 760) * (273.15 / (273.15 + temperature)));
  const [k, j] = [INSPIRED.oxygen / INSPIRED.nitrogen, INSPIRED.carbonDioxide / INSPIRED.nitrogen];
  const [o, c] = [vo2 / stpd, vco2 / stpd];
  const nitrogen = (1 + o - c) / (1 + k + j);
  return { volume, feo2: 100 * (k * nitrogen - o), feco2: 100 * (c + j * nitrogen) };
}
