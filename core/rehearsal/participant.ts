/**
 * The simulated participants of a rehearsal, as data. All are invented; none is modelled on a person.
 * Their values lie inside published ranges: maximal oxygen uptake between P20 and P95 of the 2015 treadmill registry table
 * for sex and decade (Kaminsky LA et al. Mayo Clin Proc 2015;90:1515); maximal heart rate within 10 /min of
 * 208 − 0.7·age (Tanaka 2001); first threshold at 45 to 65 % of maximum in untrained and 65 to 85 % in trained people
 * (from memory); peak respiratory exchange ratio 1.14 ± 0.05 (Loe H et al. PLoS One 2013); systolic rise 5.1 to 11.5 mmHg per
 * MET in low to high responders (BMJ Open Sport Exerc Med table); uptake time constant 20 to 40 s in healthy and 10 to 20 s in
 * highly trained people (from memory); heart-rate time constant on a treadmill 57.6 ± 23.6 s (Hunt KJ, Fankhauser SE,
 * Saengsuwan J. BioMed Eng OnLine 2015;14:117), shorter in the trained (made for this program).
 * `tests/core/rehearsal-participants.test.ts` holds each of them to these ranges.
 */
import type { Sex } from '../vocabulary.ts';

/** `steady` goes on to volitional fatigue; `faint` becomes light-headed; `early` asks to stop; `missed-cuff` gives trouble with cuff and strap. */
export type Behaviour = 'steady' | 'faint' | 'early' | 'missed-cuff';

export interface Participant {
  /** `R-` and two digits: R for rehearsal. */
  readonly code: string;
  /** One line for the person who chooses. */
  readonly about: string;
  readonly sex: Sex;
  /** Years. */
  readonly age: number;
  /** Centimetres. */
  readonly height: number;
  /** Kilograms. */
  readonly mass: number;
  /** mL/kg/min on the treadmill. */
  readonly vo2max: number;
  /** /min. */
  readonly heartRateMax: number;
  /** /min, calm, in the posture of the test. */
  readonly heartRateRest: number;
  /** mmHg, calm, in the posture of the test. */
  readonly systolicRest: number;
  readonly diastolicRest: number;
  /** Share of maximal oxygen uptake at the first and the second ventilatory threshold. */
  readonly thresholds: { readonly first: number; readonly second: number };
  /** Respiratory exchange ratio at maximal oxygen uptake. */
  readonly peakRer: number;
  /** mmHg for each MET above rest. */
  readonly systolicPerMet: number;
  /** Own cost of work against the published equation: 1 is equal, 0.93 spends 7 % less. The equations allow about 7 % either way. */
  readonly economy: number;
  /** Seconds: how fast oxygen uptake and heart rate follow a rise of work. */
  readonly vo2TimeConstant: number;
  readonly heartRateTimeConstant: number;
  /** Largest tidal volume, litres. 2.6 to 3.1 L in seven young men at exhaustion (Exp Physiol 1999, slow and fast ramps, abstract); less in women [C]. */
  readonly tidalMax: number;
  /** m/min at and above which this person runs. People change to running near 2 m/s, 120 m/min [M]; here from 105 to 125. */
  readonly runsFrom: number;
  readonly trained: boolean;
  /** How much work above the critical share can be done before fatigue ends it, in mL of oxygen per kg. Made for this program. */
  readonly reserve: number;
  /** /min added over ten minutes of hard work: cardiovascular drift. Common in long work; small in a graded test [C]. */
  readonly drift: number;
  /** Multiplies all measurement noise: 1 is usual. */
  readonly noise: number;
  /** /min that heart rate is above calm rest before the start. */
  readonly nervous: number;
  readonly behaviour: Behaviour;
  /** `faint` only. */
  readonly faints?: 'exercise' | 'recovery';
  /** Share of maximal uptake at which this person asks to stop or feels faint. */
  readonly turnsAt?: number;
  /** The stage in which a hand goes to the rail for half a minute. */
  readonly rail?: number;
  /** The heart-rate strap loses contact in this stage. */
  readonly strapDrops?: number;
}

export const rehearsalParticipants: readonly Participant[] = [
  {
    code: 'R-01', about: 'Woman, 21, plays netball. A steady test to exhaustion.',
    sex: 'female', age: 21, height: 166, mass: 61.5, vo2max: 42, heartRateMax: 197, heartRateRest: 72, systolicRest: 112, diastolicRest: 70,
    thresholds: { first: 0.6, second: 0.85 }, peakRer: 1.15, systolicPerMet: 5.4, economy: 0.97, vo2TimeConstant: 30, heartRateTimeConstant: 48,
    tidalMax: 2.2, runsFrom: 112, trained: false, reserve: 9, drift: 3, noise: 1, nervous: 6, behaviour: 'steady',
  },
  {
    code: 'R-02', about: 'Man, 23, runs for the university. Long test, high peak.',
    sex: 'male', age: 23, height: 181, mass: 74.2, vo2max: 59, heartRateMax: 194, heartRateRest: 58, systolicRest: 118, diastolicRest: 72,
    thresholds: { first: 0.68, second: 0.89 }, peakRer: 1.12, systolicPerMet: 5.2, economy: 0.95, vo2TimeConstant: 22, heartRateTimeConstant: 38,
    tidalMax: 3, runsFrom: 108, trained: true, reserve: 9, drift: 2, noise: 0.9, nervous: 3, behaviour: 'steady',
  },
  {
    code: 'R-03', about: 'Woman, 34, nervous. The cuff slips and the strap drops out.',
    sex: 'female', age: 34, height: 170, mass: 68.4, vo2max: 35, heartRateMax: 185, heartRateRest: 74, systolicRest: 118, diastolicRest: 76,
    thresholds: { first: 0.55, second: 0.82 }, peakRer: 1.13, systolicPerMet: 6.2, economy: 1.01, vo2TimeConstant: 34, heartRateTimeConstant: 55,
    tidalMax: 2.1, runsFrom: 118, trained: false, reserve: 12, drift: 4, noise: 1.3, nervous: 17, behaviour: 'missed-cuff', strapDrops: 2,
  },
  {
    code: 'R-04', about: 'Man, 44, cycles to work. Holds the rail once and asks to stop early.',
    sex: 'male', age: 44, height: 177, mass: 84.6, vo2max: 39, heartRateMax: 178, heartRateRest: 70, systolicRest: 126, diastolicRest: 80,
    thresholds: { first: 0.58, second: 0.84 }, peakRer: 1.12, systolicPerMet: 6.6, economy: 1.03, vo2TimeConstant: 36, heartRateTimeConstant: 58,
    tidalMax: 2.6, runsFrom: 116, trained: false, reserve: 11, drift: 4, noise: 1, nervous: 8, behaviour: 'early', turnsAt: 0.83, rail: 2,
  },
  {
    code: 'R-05', about: 'Man, 20. Feels light-headed near the end of the test.',
    sex: 'male', age: 20, height: 178, mass: 70.1, vo2max: 48, heartRateMax: 199, heartRateRest: 68, systolicRest: 116, diastolicRest: 70,
    thresholds: { first: 0.62, second: 0.86 }, peakRer: 1.16, systolicPerMet: 5.5, economy: 0.98, vo2TimeConstant: 28, heartRateTimeConstant: 46,
    tidalMax: 2.8, runsFrom: 110, trained: false, reserve: 11, drift: 3, noise: 1, nervous: 10, behaviour: 'faint', faints: 'exercise', turnsAt: 0.88,
  },
  {
    code: 'R-06', about: 'Woman, 27. Feels light-headed while walking after the stop.',
    sex: 'female', age: 27, height: 172, mass: 64.8, vo2max: 44, heartRateMax: 191, heartRateRest: 66, systolicRest: 110, diastolicRest: 68,
    thresholds: { first: 0.63, second: 0.87 }, peakRer: 1.14, systolicPerMet: 5.2, economy: 0.96, vo2TimeConstant: 27, heartRateTimeConstant: 44,
    tidalMax: 2.3, runsFrom: 111, trained: false, reserve: 9, drift: 2, noise: 1, nervous: 5, behaviour: 'faint', faints: 'recovery',
  },
];

/** The participant with this code, or undefined. */
export function participantByCode(code: string): Participant | undefined {
  return rehearsalParticipants.find((participant) => participant.code === code);
}

/** The rate at which a whole job on the Bruce stages takes about two minutes of real time. */
export const USUAL_REHEARSAL_RATE = 10;
