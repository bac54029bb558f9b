/**
 * A class that was planted: 30 tests on the treadmill, 60 students, and in their worksheets slips, carried errors, lost units and
 * everything that goes wrong with files. What each mark has to be is worked out here, from the sheet's marks and the published
 * conventions of published schemes, by arithmetic on the numbers that were planted; the marking engine has no part in it.
 */
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { at, bruceText, SessionBuilder } from './session-builder.ts';
import { WorksheetBuilder } from './worksheet-builder.ts';

/** Park and Miller's minimal standard generator: the same seed plants the same class. */
export class Chance {
  #state: number;
  constructor(seed: number) {
    this.#state = (seed % 2147483646) + 1;
  }
  below(limit: number): number {
    this.#state = (this.#state * 48271) % 2147483647;
    return this.#state % limit;
  }
  of<Item>(items: readonly Item[]): Item {
    return items[this.below(items.length)] as Item;
  }
  shuffled<Item>(items: readonly Item[]): readonly Item[] {
    return items.map((item) => [this.below(1e9), item] as const).sort((a, b) => a[0] - b[0]).map(([, item]) => item);
  }
}

/** What was measured in one test: everything that the answers follow from. */
export interface PlantedTest {
  readonly id: string;
  readonly code: string;
  readonly age: number;
  readonly mass: number;
  readonly peakHeartRate: number;
  /** L/min, taken at the stop. */
  readonly peakVo2: number;
  /** Seconds past ten minutes at which the test was stopped. */
  readonly stopSeconds: number;
  readonly fall: number;
  readonly symptom: boolean;
}

const REST = 74;
const plan = { vo2: ['0.98', '1.47'], rer: ['0.83', '0.89'] } as const;

export function plantTests(chance: Chance, symptomAt: number): readonly PlantedTest[] {
  return Array.from({ length: 30 }, (_, index) => ({
    id: `s-planted${String(index + 1).padStart(4, 'x')}`.replaceAll('x', 'a'),
    code: `R-${String(index + 11)}`,
    age: 20 + chance.below(10),
    mass: 58 + chance.below(80) / 10,
    peakHeartRate: 186 + chance.below(8),
    peakVo2: 2.28 + chance.below(20) / 100,
    stopSeconds: 10 + chance.below(35),
    fall: 26 + chance.below(12),
    symptom: index === symptomAt,
  }));
}

/** The record of the test, as a station keeps it. A stage takes three minutes; the first three are finished. */
export function recordOf(test: PlantedTest, way: 'live' | 'rehearsal' = 'live', text = bruceText): SessionBuilder {
  const start = at('20:00');
  const session = new SessionBuilder(way, text, test.id).exercising(start, { 'participant-code': test.code, age: String(test.age), mass: test.mass.toFixed(1) });
  const third = (test.peakVo2 - 0.21).toFixed(2);
  for (const [index, heartRates] of [['98', '104', '109'], ['121', '127', '131'], ['148', '156', '168']].entries()) {
    const begin = start + index * at('3:00');
    session.reading('heart-rate', heartRates[0] ?? '', begin + at('1:00')).reading('heart-rate', heartRates[1] ?? '', begin + at('2:00'));
    session.reading('systolic', String(132 + 14 * index), begin + at('2:30')).reading('diastolic', '76', begin + at('2:30')).reading('rpe', String(9 + 3 * index), begin + at('2:40'));
    session.reading('heart-rate', heartRates[2] ?? '', begin + at('3:00'));
    session.clock(begin + at('3:01')).add('stage-changed', { stage: index + 2 });
    session.reading('vo2', plan.vo2[index] ?? third, begin + at('3:20')).reading('rer', plan.rer[index] ?? '1.01', begin + at('3:25'));
  }
  const stop = start + at('10:00') + test.stopSeconds * 1000;
  session.clock(stop).add('test-stopped', {});
  session.add('stop-reason-given', test.symptom ? { reason: 'Light-headed or dizzy', symptom: true } : { reason: 'Volitional exhaustion', symptom: false });
  session.reading('heart-rate', String(test.peakHeartRate), stop + 2000).reading('rpe', '19', stop + 3000).reading('vo2', test.peakVo2.toFixed(2), stop + 20_000).reading('rer', '1.14', stop + 22_000);
  session.reading('heart-rate', String(test.peakHeartRate - test.fall), stop + 60_000);
  for (const criterion of session.state.sheet.recovery.criteria) if (criterion.kind === 'seen') session.add('criterion-seen', { criterion: criterion.id, met: true });
  return session.clock(stop + at('6:00')).add('session-closed', { outcome: 'left', early: { initials: 'KL', reason: 'Lecture; walked steadily, felt well' } });
}

type Answer = readonly [typed: string, unit?: string, working?: string];
type Answers = Record<string, Answer | undefined>;

/** Right answers by the published equations, and what they follow from. */
function right(test: PlantedTest): { readonly answers: Answers; readonly relative: number; readonly predicted: number; readonly target: number } {
  const relative = (1000 * test.peakVo2) / test.mass;
  const minutes = 10 + test.stopSeconds / 60;
  // Pollock et al. 1982, women on these stages.
  const predicted = 4.38 * minutes - 3.9;
  // After a symptom the maximum is the predicted one (Tanaka 2001); else the measured one, the criteria being met.
  const maximum = test.symptom ? 208 - 0.7 * test.age : test.peakHeartRate;
  const target = 0.6 * (maximum - REST) + REST;
  return {
    relative,
    predicted,
    target,
    answers: {
      'hr-max': [(208 - 0.7 * test.age).toFixed(0), '/min', `208 − 0.7 × ${test.age}`],
      // 26.8 m/min per mph: 45.6 at 10 %, 67.0 at 12 %, 91.1 at 14 %; 0.1·S + 1.8·S·G + 3.5 (Bushman 2020).
      'stage-vo2/stage-1': ['16.3', 'mL/kg/min'],
      'stage-vo2/stage-2': ['24.7', 'mL/kg/min'],
      'stage-vo2/stage-3': ['35.6', 'mL/kg/min'],
      'vo2-peak': [relative.toFixed(1), 'mL/kg/min'],
      'vo2-time': [predicted.toFixed(1), 'mL/kg/min'],
      'percent-of-predicted': [((100 * relative) / predicted).toFixed(1), '%'],
      'effort/plateau': ['not met'],
      'effort/rer': ['met'],
      'effort/heart-rate': ['met'],
      'effort/rpe': ['met'],
      'effort/conclusion': ['max'],
      'hr-recovery': [String(test.fall), '/min'],
      category: [categoryOf(relative)],
      'target-heart-rate': [target.toFixed(0), '/min', `0.6 × (${maximum} − ${REST}) + ${REST}`],
      discussion: ['Heart rate rose with the load because …'],
    },
  };
}

/** Women of 20 to 29, FRIEND 2015 (Kaminsky 2015, Mayo Clin Proc 90:1515): edges 28.6, 34.6, 40.6, 46.5. */
function categoryOf(relative: number): string {
  return relative >= 46.5 ? 'Excellent' : relative >= 40.6 ? 'Good' : relative >= 34.6 ? 'Fair' : relative >= 28.6 ? 'Poor' : 'Very poor';
}

/** Marks of the sheet's questions; the discussion waits for its marker. */
const full = { 'hr-max': 3, 'stage-vo2': 8, 'vo2-peak': 5, 'vo2-time': 5, 'percent-of-predicted': 4, effort: 6, 'hr-recovery': 4, category: 3, 'target-heart-rate': 4, discussion: 0 } as const;
type Question = keyof typeof full;

export interface Plant {
  readonly name: string;
  readonly change: (test: PlantedTest) => Answers;
  /** Marks that are not full, and why. */
  readonly marks: Partial<Record<Question, number>>;
  readonly verdicts?: Partial<Record<Question, string>>;
  readonly says?: readonly [question: Question, words: RegExp];
}

const pounds = (test: PlantedTest): number => (1000 * test.peakVo2) / (test.mass / 0.45359237);

export const plants: readonly Plant[] = [
  { name: 'all right', change: () => ({}), marks: {} },
  { name: 'unit missing: one mark of three', change: (test) => ({ 'hr-max': [(208 - 0.7 * test.age).toFixed(0)] }), marks: { 'hr-max': 2 } },
  { name: 'unit wrong in every row of a table: one mark, once', change: () => ({ 'stage-vo2/stage-1': ['16.3', 'W'], 'stage-vo2/stage-2': ['24.7', 'W'], 'stage-vo2/stage-3': ['35.6', 'W'] }), marks: { 'stage-vo2': 7 } },
  { name: 'METs for mL/kg/min, which is no fault', change: (test) => ({ 'vo2-peak': [(right(test).relative / 3.5).toFixed(3), 'METs'] }), marks: {} },
  {
    // 0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5 = 2308. Two rows of three right, 5.33, and a third of the two method marks, 0.67.
    name: 'grade as a whole number, shown in the working',
    change: () => ({ 'stage-vo2/stage-3': ['2308', 'mL/kg/min', '0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5'] }),
    marks: { 'stage-vo2': 6 },
    verdicts: { 'stage-vo2': 'slip' },
    says: ['stage-vo2', /whole number/],
  },
  {
    name: 'pounds for kilograms, and the percentage carried on from it',
    change: (test) => ({ 'vo2-peak': [pounds(test).toFixed(1), 'mL/kg/min'], 'percent-of-predicted': [((100 * Number(pounds(test).toFixed(1))) / Number(right(test).predicted.toFixed(1))).toFixed(1), '%'] }),
    marks: { 'vo2-peak': 0 },
    verdicts: { 'vo2-peak': 'slip', 'percent-of-predicted': 'carried-forward' },
    says: ['vo2-peak', /pounds/],
  },
  {
    // Nobody has 5000 % of predicted: the method mark only, one of four.
    name: 'millilitres not divided by the mass, and what follows is impossible',
    change: (test) => ({ 'vo2-peak': [(1000 * test.peakVo2).toFixed(0), 'mL/kg/min'], 'percent-of-predicted': [((100_000 * test.peakVo2) / right(test).predicted).toFixed(1), '%'] }),
    marks: { 'vo2-peak': 0, 'percent-of-predicted': 1 },
    verdicts: { 'percent-of-predicted': 'method-only' },
  },
  { name: 'the working right, the answer beside it not: one mark', change: (test) => ({ 'target-heart-rate': [String(Math.round(right(test).target) - 19), '/min', `0.6 × (${test.peakHeartRate} − ${REST}) + ${REST}`] }), marks: { 'target-heart-rate': 3 }, verdicts: { 'target-heart-rate': 'arithmetic-slip' } },
  { name: 'resting rate not added back, no working', change: (test) => ({ 'target-heart-rate': [(right(test).target - REST).toFixed(1), '/min'] }), marks: { 'target-heart-rate': 0 }, verdicts: { 'target-heart-rate': 'slip' } },
  { name: 'subtracted the other way round', change: (test) => ({ 'hr-recovery': [String(-test.fall), '/min'] }), marks: { 'hr-recovery': 0 }, verdicts: { 'hr-recovery': 'slip' } },
  { name: 'not answered', change: () => ({ 'hr-recovery': undefined }), marks: { 'hr-recovery': 0 }, verdicts: { 'hr-recovery': 'not-answered' } },
  // Six marks over five rows, four of them right: 4.8, to half marks 5.
  { name: 'one criterion judged wrongly', change: () => ({ 'effort/rer': ['not met'] }), marks: { effort: 5 } },
  { name: 'another category', change: (test) => ({ category: [categoryOf(right(test).relative) === 'Good' ? 'Fair' : 'Good'] }), marks: { category: 0 }, verdicts: { category: 'wrong' } },
  { name: 'two beats off: half of the marks', change: (test) => ({ 'hr-max': [String(Math.round(208 - 0.7 * test.age) + 2), '/min'] }), marks: { 'hr-max': 1.5 }, verdicts: { 'hr-max': 'near' } },
];

export interface PlantedWorksheet {
  readonly student: string;
  readonly test: PlantedTest;
  readonly plant: Plant;
  readonly record: SessionBuilder;
  readonly sheet: WorksheetBuilder;
  readonly marks: Readonly<Record<string, number>>;
  readonly total: number;
  readonly outOf: number;
}

/** One student's answers. After a symptom nothing that needs a maximum is asked: 12 marks leave the total. */
export function answer(test: PlantedTest, record: SessionBuilder, student: string, plant: Plant, handedIn: string, id = `w-${student.toLowerCase()}`): PlantedWorksheet {
  const answers: Answers = { ...right(test).answers, ...plant.change(test) };
  const sheet = new WorksheetBuilder(record, student, id);
  for (const [place, given] of Object.entries(answers)) if (given !== undefined) sheet.answer(place, ...given);
  sheet.handIn(handedIn);
  const voids: readonly string[] = test.symptom ? ['vo2-time', 'percent-of-predicted', 'category'] : [];
  const marks = Object.fromEntries(Object.entries({ ...full, ...plant.marks }).map(([question, worth]) => [question, voids.includes(question) ? 0 : worth]));
  const total = Object.values(marks).reduce((sum, worth) => sum + worth, 0);
  return { student, test, plant, record, sheet, marks, total, outOf: test.symptom ? 38 : 50 };
}

/** Written by the real exporter. */
export function fileText({ record, sheet }: Pick<PlantedWorksheet, 'record' | 'sheet'>): string {
  return worksheetFileText(buildWorksheetFile({ session: { events: record.stored }, worksheet: { events: sheet.stored }, version: '0.1.0' }));
}
