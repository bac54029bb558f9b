/**
 * Rules of submaximal sheets that depend on measured heart rates: hold a stage, end the test, choose the next load.
 * Steady: the last two minutes differ by 5 or less, else one more minute at the same load; the mean of the two is the stage's
 * heart rate; the branch table's bands (CSEP insert of Golding 1989, NSCA Guide). That the mean is
 * rounded before it is looked up, that a band holds from its lower edge up to but not including its upper one, and that at most
 * two minutes are added are this program's rules: the sources print whole numbers and no number of repeats.
 */
import { equationValue } from '../formulas/for-age.ts';
import type { BandEdge, LabSheet } from '../sheet/schema.ts';
import type { Sex } from '../vocabulary.ts';
import type { SteadyState } from './state.ts';

/** Standing heart rate of a minute of the stage; undefined while it is not there. */
export type MinuteHeartRate = (minute: number) => number | undefined;

export interface HeldStage {
  readonly repeats: number;
  readonly steady: SteadyState;
}

/**
 * Whether a stage is held for another minute: its last two minutes' heart rates may differ by at most the sheet's `within`.
 * At most `repeats-at-most` minutes are added, and none once any minute of the stage has reached the cap (the cap always wins).
 * @param planned whole minutes of the stage by plan; @param cap heart rate that ends the test, where the sheet has one.
 */
export function holdStage(rule: NonNullable<LabSheet['stages']['steady-state']>, planned: number, heartRate: MinuteHeartRate, cap: number | undefined): HeldStage {
  let repeats = 0;
  for (;;) {
    const last = planned + repeats;
    const [first, second] = [heartRate(last - 1), heartRate(last)];
    if (first === undefined || second === undefined) {
      const before = repeats > 0 ? [heartRate(last - 2), first] : [];
      const held = before[0] !== undefined && before[1] !== undefined ? `${before[0]} then ${before[1]}: not steady, hold one more minute` : `steady when minutes ${last - 1} and ${last} differ by ${rule.within} or less`;
      return { repeats, steady: { state: 'pending', says: held } };
    }
    const pair = [first, second] as const;
    const mean = (first + second) / 2;
    const highest = highestUpTo(last, heartRate);
    const capped = cap !== undefined && highest >= cap ? `${highest} has reached the cap of ${Math.ceil(cap)}` : undefined;
    if (Math.abs(first - second) <= rule.within) return { repeats, steady: { state: 'steady', pair, mean, says: `${first} then ${second}: steady, mean ${mean}${capped === undefined ? '' : `; ${capped}`}` } };
    if (capped !== undefined) return { repeats, steady: { state: 'not-steady', pair, mean, says: `${first} then ${second}: not steady, but ${capped}; no more minutes` } };
    if (repeats >= rule['repeats-at-most']) return { repeats, steady: { state: 'not-steady', pair, mean, says: `${first} then ${second}: not steady after ${repeats} more minute${repeats === 1 ? '' : 's'}; the sheet allows no more` } };
    repeats += 1;
  }
}

/** The highest heart rate of a stage's minutes up to one. */
function highestUpTo(last: number, heartRate: MinuteHeartRate): number {
  let highest = -Infinity;
  for (let minute = 1; minute <= last; minute += 1) highest = Math.max(highest, heartRate(minute) ?? -Infinity);
  return highest;
}

/** The sheet's heart-rate cap for this participant, /min; undefined where the sheet has none or the age is not known. */
export function heartRateCap(sheet: LabSheet, age: number | undefined, resting: number | undefined): number | undefined {
  const cap = sheet['heart-rate-cap'];
  if (!cap || age === undefined) return undefined;
  const maximum = equationValue(cap.formula, age);
  if (maximum === undefined) return undefined;
  if (cap.of === 'maximum') return cap.fraction * maximum;
  return resting === undefined ? undefined : cap.fraction * (maximum - resting) + resting;
}

/** The stage that follows, by the sheet's list or by the branch that the measured heart rate chose. */
export function chooseNext(sheet: LabSheet, present: number, branchHeartRate: readonly [number, number] | undefined, sex?: Sex): { readonly settings?: LabSheet['stages']['list'][number]; readonly says?: string } | undefined {
  const { branch, list } = sheet.stages;
  if (!branch || present < branch.after) return list[present] === undefined ? undefined : { settings: list[present] };
  if (!branchHeartRate) return { says: `the next setting needs the last two heart rates of stage ${branch.after}` };
  const mean = Math.round((branchHeartRate[0] + branchHeartRate[1]) / 2);
  const edges = branch.bands.flatMap(({ from, below }) => [from, below]);
  if (sex === undefined && edges.some((edge) => typeof edge === 'object')) return { says: 'the next setting needs the sex used in the equations' };
  const band = branch.bands.find(({ from, below }) => mean >= edgeFor(from, sex) && (below === undefined || mean < edgeFor(below, sex)));
  if (!band) return { says: `${mean} lies in no band of the sheet; ask the instructor` };
  const settings = band.then[present - branch.after];
  if (settings === undefined) return undefined;
  return { settings, says: `${branchHeartRate[0]} and ${branchHeartRate[1]} in stage ${branch.after}, mean ${mean}: ${bandWords(band, sex)}` };
}

/** The edge for a participant; without the sex, where men and women differ, the men's. */
const edgeFor = (edge: BandEdge, sex: Sex | undefined): number => (typeof edge === 'number' ? edge : edge[sex ?? 'male']);

/** A band as the table of a sheet prints it; the mean that is looked up is a whole number. Without the sex both edges are named. */
export function bandWords({ from, below }: { readonly from: BandEdge; readonly below?: BandEdge | undefined }, sex?: Sex): string {
  const numbers = (which: Sex): readonly [number, number | undefined] => [edgeFor(from, which), below === undefined ? undefined : edgeFor(below, which)];
  const say = ([low, high]: readonly [number, number | undefined]): string => (high === undefined ? `${low} or more` : low === 0 ? `below ${high}` : `${low} to ${high - 1}`);
  const [men, women] = [say(numbers('male')), say(numbers('female'))];
  if (sex !== undefined) return sex === 'male' ? men : women;
  return men === women ? men : `${men} (women ${women})`;
}
