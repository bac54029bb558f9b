/**
 * The numbers of physiology that the simulated participants share, each with the place that it comes from.
 * Provenance marks as in the formula registry: P published page seen, P2 seen in copies, M from memory of the publication,
 * C common practice, O made for this program. What differs from person to person is in `participant.ts`.
 */
import type { Source } from '../formulas/formula.ts';
import type { Posture } from '../vocabulary.ts';

export interface Constant {
  readonly value: number;
  readonly unit: string;
  readonly says: string;
  readonly source: Source;
}

const known = (value: number, unit: string, says: string, provenance: Source['provenance'], citation: string, note?: string): Constant => ({
  value,
  unit,
  says,
  source: { citation, provenance, ...(note === undefined ? {} : { note }) },
});

const OWN = 'Made for this program';
const barak = 'Barak OF et al. J Sports Sci Med 2011;10:369, table 2 (5 min after submaximal cycling, 21 athletes and 19 students)';

export const constants = {
  restingVo2: known(3.5, 'mL/kg/min', 'oxygen uptake at rest, one MET', 'P', 'Compendium of Physical Activities; ACSM metabolic equations'),
  restingRer: known(0.82, '1', 'respiratory exchange ratio at rest', 'C', 'Usual at rest 0.75 to 0.90 (data-entry limits, common practice)'),
  vo2Delay: known(15, 's', 'time before oxygen uptake at the mouth follows the work', 'M', 'Time delay of a mono-exponential onset model; Bell C et al. Exp Physiol 2001;86:667 for the model'),
  vo2OffTimeConstant: known(75, 's', 'time constant of the fall of oxygen uptake after the stop', 'O', OWN, 'with the delay it gives a half time of 67 s; 60 to 90 s is usual in healthy adults (from memory)'),
  carbonDioxideSlower: known(1.5, '1', 'how many times slower carbon dioxide output follows than oxygen uptake', 'M', 'Body stores of carbon dioxide slow its onset and offset; the size is from memory of textbook kinetics'),
  nervousSettles: known(120, 's', 'time constant with which a nervous heart settles once exercise runs', 'O', OWN),
  slowShare: known(0.23, '1', 'part of the rise of heart rate that is still there after five minutes of recovery', 'P', barak, 'from the printed means: (100 − 86)/(144 − 86) = 0.24 in students, (89 − 74)/(147 − 74) = 0.21 in athletes'),
  slowTimeConstant: known(600, 's', 'time constant of that slow part', 'M', 'Slow part of recovery, 10 to 20 min for oxygen uptake; from memory, taken over for heart rate'),
  slowerAfterMaximal: known(1.5, '1', 'how many times slower heart rate falls after a maximal than after a light effort', 'O', OWN, 'Barak measured after light work; 1.5 brings the fall in two walking minutes near the 44 ± 11 /min of young adults after a maximal treadmill test (Carnethon, CARDIA)'),
  systolicOn: known(60, 's', 'time constant with which systolic pressure follows the work', 'O', OWN),
  systolicOff: known(120, 's', 'time constant of its fall in recovery', 'O', OWN, 'three time constants are 6 min: systolic pressure was back after 5 to 7 min in 597 healthy adults (Dimkpa U, Ugwu AC. Int J Exerc Sci 2009;2:115)'),
  afterFall: known(4, 'mm[Hg]', 'how far systolic pressure settles below rest afterwards', 'P', 'Carpio-Rivera E et al. 2016, 65 studies: −4.8/−3.2 mmHg over the following hours', 'rounded down'),
  diastolicFall: known(6, 'mm[Hg]', 'fall of diastolic pressure at maximum', 'P', 'McArdle, Katch & Katch, 8th ed.: unchanged or slightly lower, change less than 10 mmHg', '6 is a choice within that'),
  slopeBelowThreshold: known(0.95, '1', 'rise of carbon dioxide output with oxygen uptake below the first threshold', 'M', 'Beaver WL, Wasserman K, Whipp BJ. J Appl Physiol 1986;60:2020: near or below 1'),
  ventilationIntercept: known(4, 'L/min', 'ventilation that does not rise with carbon dioxide output', 'O', OWN),
  compensation: known(0.45, '1', 'by what part ventilation rises more steeply above the second threshold', 'O', OWN),
  restingTidal: known(0.55, 'L', 'tidal volume at rest', 'C', 'Usual at rest 0.4 to 0.8 L (data-entry limits, common practice)'),
  nervousPressure: known(0.6, 'mm[Hg]', 'systolic pressure added per beat of nervousness', 'O', OWN),
  criticalFraction: known(0.85, '1', 'share of maximal uptake above which work uses up a limited reserve', 'M', 'Critical-power model; the share is from memory and differs much between people'),
  daySpread: known(0.025, '1', 'standard deviation of maximal uptake from day to day', 'M', 'Biological variation of VO2max of a few per cent, from memory'),
  heartNoise: known(1.6, '/min', 'standard deviation of one counted heart rate', 'O', OWN),
  cuffNoise: known(3.5, 'mm[Hg]', 'standard deviation of one cuff reading', 'O', OWN),
  cuffStep: known(2, 'mm[Hg]', 'a cuff is read to this', 'M', 'Read to 2 mmHg: common rule of manual auscultation, from memory'),
  breathNoise: known(0.1, 'L/min', 'standard deviation of one breath’s oxygen uptake and carbon dioxide output', 'O', OWN, 'the size is a choice of this program; the form is published: uncorrelated from breath to breath, Gaussian, and largely independent of metabolic rate (Lamarra N, Whipp BJ, Ward SA, Wasserman K. J Appl Physiol 1987;62:2003, abstract seen)'),
  breathNoiseVentilation: known(3, 'L/min', 'standard deviation of one breath’s ventilation', 'O', OWN, 'form as for the gases'),
  breathNoiseShared: known(0.8, '1', 'correlation of the noise of oxygen uptake, carbon dioxide output and ventilation, since all hang on the depth of the breath', 'O', OWN),
  breathInterval: known(0.1, '1', 'standard deviation of the length of a breath, as a part of its mean', 'O', OWN),
} as const satisfies Record<string, Constant>;

/**
 * Time constants in seconds of the fall of heart rate after exercise, by posture and activity; students and athletes.
 * Barak 2011 (see above) measured seated without moving, seated with light cycling, lying, and lying with legs raised.
 */
export const heartRateOff: Readonly<Record<Posture, { readonly student: number; readonly athlete: number; readonly source: Source }>> = {
  sitting: { student: 50.6, athlete: 52.5, source: { citation: barak, provenance: 'P' } },
  cycling: { student: 90.6, athlete: 74.1, source: { citation: barak, provenance: 'P' } },
  lying: { student: 36.4, athlete: 32.0, source: { citation: barak, provenance: 'P' } },
  'lying, legs raised': { student: 32.9, athlete: 28.5, source: { citation: barak, provenance: 'P' } },
  walking: { student: 90.6, athlete: 74.1, source: { citation: barak, provenance: 'O', note: 'not measured there; taken as the seated active value' } },
  standing: { student: 50.6, athlete: 52.5, source: { citation: barak, provenance: 'O', note: 'not measured there; taken as the seated value' } },
};

/**
 * RPE by share of maximal oxygen uptake: the edges of the intensity classes, joined by straight lines.
 * Garber CE et al. 2011, as reprinted (Br J Sports Med table after ACSM and Garber) [P]: 37 % and 9, 46 % and 12, 64 % and 14,
 * 91 % and 18. The two ends (rest 6, maximum 19) are a choice of this program [O].
 */
export const perceivedExertion: readonly (readonly [share: number, rpe: number])[] = [
  [0.1, 6],
  [0.37, 9],
  [0.46, 12],
  [0.64, 14],
  [0.91, 18],
  [1, 19],
];

/** Value of a chain of straight lines; flat beyond both ends. */
export function alongLine(points: readonly (readonly [number, number])[], x: number): number {
  let [before] = points;
  if (!before) return Number.NaN;
  if (x <= before[0]) return before[1];
  for (const point of points) {
    if (x <= point[0]) return before[1] + ((x - before[0]) / (point[0] - before[0] || 1)) * (point[1] - before[1]);
    before = point;
  }
  return before[1];
}
