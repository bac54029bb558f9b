/**
 * What a lab sheet may say. The published JSON Schema (`lab-sheets/lab-sheet.schema.json`) is made from this file.
 * A lab sheet is written by an instructor in a text editor: words and times as one would read them aloud.
 */
import { z } from 'zod';
import { parseClock } from '../clock-text.ts';
import { gaits, postures, readingQuantities } from '../vocabulary.ts';

/** The form that this program reads. Older forms are migrated in memory by the loader. */
export const SHEET_FORM = 'stagecall-lab-sheet/1';

const id = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'an id is small letters, digits and single hyphens');
export const words = z.string().min(1).max(2000);
const time = z
  .string()
  .refine((text) => parseClock(text) !== undefined, 'a time is minutes and seconds, like "3:00" (in quotes)')
  .describe('Minutes and seconds, like "3:00"; a minus sign for "before"');
/** A value as one would write it, with its unit: "1.7 mph", "10 %". Units are checked by the loader. */
const amount = z.union([z.string().min(1).max(40), z.number()]).describe('A value with its unit, like "1.7 mph"');
const reading = z.enum(Object.keys(readingQuantities) as [keyof typeof readingQuantities, ...(keyof typeof readingQuantities)[]]);
const hold = z.enum(['instructor', 'never', 'none']).describe('Who may set it aside: an instructor with a reason, or nobody; none: it does not hold the start');

/** Some protocols set men and women differently: one amount, or one for each sex that the equations know. */
const setAmount = z.union([amount, z.strictObject({ male: amount, female: amount })]);
/** A heart rate at which a way divides: one, or one for each sex that the equations know. */
const edge = z.union([z.number(), z.strictObject({ male: z.number(), female: z.number() })]);
export type BandEdge = z.infer<typeof edge>;
const settings = z.strictObject({ speed: setAmount, grade: setAmount, load: setAmount, cadence: setAmount, 'step-rate': setAmount, 'step-height': setAmount }).partial();

const readingRule = z.strictObject({
  take: z.array(reading).min(1),
  /** Against which moments: every full minute, the end of each stage, once in the phase, or when the test stops. */
  each: z.enum(['minute', 'two-minutes', 'stage', 'once', 'stop']),
  /** All four are counted from that moment; minus is before it. */
  due: time.default('0:00'),
  open: time.default('-0:15'),
  late: time.default('0:15').describe('A reading taken after this is late'),
  missed: time.default('0:45').describe('After this the call is given up; it can still be written in'),
  /** First minute for which it is called (recovery: 0 is "at once"). */
  from: z.number().int().min(0).optional(),
  optional: z.boolean().default(false),
  covers: words.optional().describe('What the value stands for, like "mean of the last 30 s"'),
  source: words.optional().describe('Who says that it is read then'),
});
export type ReadingRule = z.infer<typeof readingRule>;

const amountOrText = z.union([z.string(), z.number()]);
const reference = amountOrText.describe('A value from the record ("participant.age", "peak.vo2"), an earlier answer ("answer.hr-max", "answer.energy/stage-2"), either of them with an amount added or taken off ("answer.hr-max + 10 /min"), or a constant with its unit ("60 %")');

export const route = z.strictObject({
  /** One formula; or one for each gait (a table over the stages); or one for each sex that the equations know. */
  formula: z.union([id, z.strictObject({ walk: id, run: id }), z.strictObject({ male: id, female: id })]).optional(),
  with: z.record(z.string(), reference).optional(),
  /** The input that is asked for, where the formula is turned round; its result then stands under "with" as "output". */
  'solve-for': z.string().optional(),
  /** Instead of a formula: a value that the results already hold. */
  result: z.string().optional(),
});
export type AnswerRoute = z.infer<typeof route>;

export const tolerance = z.strictObject({
  full: amountOrText.describe('Within this of the right value: all marks. "0.5" is in the unit of the question, "1 %" is relative'),
  part: amountOrText.optional().describe('Within this: part marks'),
});

export const rubricLevel = z.strictObject({ marks: z.number().min(0), says: words });

const questionBase = {
  id,
  title: words,
  ask: words,
  marks: z.number().positive(),
  hint: words.optional(),
  source: words.optional(),
  void: words.optional().describe('Why the question leaves the total for everyone'),
};
/** What an answer earns that is right for the student's own earlier wrong answer. */
export const carried = z.enum(['full', 'part', 'method']).optional().describe('An answer that follows from an earlier wrong one earns all marks (full, the usual), half of them (part), or the method mark only (method)');
const step = z.strictObject({
  says: words.describe('What the step is, like "STPD factor"'),
  marks: z.number().positive(),
  unit: z.string().min(1),
  answer: route,
  tolerance: amountOrText.default('1 %'),
});
export const steps = z.array(step).max(12).optional().describe('Values on the way: each one that the working shows earns its marks where the answer itself does not');
const question = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('number'),
    ...questionBase,
    unit: z.string().min(1),
    decimals: z.number().int().min(0).max(6).default(1),
    answer: route,
    accept: z.array(route).default([]),
    tolerance,
    carried,
    steps,
    working: z.boolean().default(true).describe('Whether working is asked for'),
  }),
  z.strictObject({
    kind: z.literal('table'),
    ...questionBase,
    /** One row a completed stage, or the rows named here. */
    rows: z.union([z.literal('completed-stages'), z.array(z.strictObject({ id, label: words }))]),
    unit: z.string().min(1),
    decimals: z.number().int().min(0).max(6).default(1),
    answer: route,
    accept: z.array(route).default([]),
    tolerance,
    carried,
    working: z.boolean().default(true),
  }),
  z.strictObject({
    kind: z.literal('judgement'),
    ...questionBase,
    /** One row a criterion of the sheet's effort set, each met / not met / cannot be judged, and a conclusion. */
    about: z.literal('effort-criteria'),
  }),
  z.strictObject({
    kind: z.literal('choice'),
    ...questionBase,
    choices: z.array(z.strictObject({ id, label: words })).min(2).optional(),
    /** The value in the results that names the right choice. */
    answer: z.strictObject({ result: z.string() }),
  }),
  z.strictObject({ kind: z.literal('written'), ...questionBase, rubric: z.array(rubricLevel).min(2) }),
]);
export type Question = z.infer<typeof question>;

/** How the prescribed exercise is done. For the treadmill either the grade or the speed is given, and the other is worked out. */
const prescribed = z.discriminatedUnion('mode', [
  z.strictObject({ mode: z.literal('walk'), speed: amount.optional(), grade: amount.optional() }),
  z.strictObject({ mode: z.literal('run'), speed: amount.optional(), grade: amount.optional() }),
  z.strictObject({ mode: z.literal('leg-cycle'), unit: z.string().default('W') }),
  z.strictObject({ mode: z.literal('arm-crank'), unit: z.string().default('W') }),
  z.strictObject({ mode: z.literal('step'), 'step-height': amount }),
]);
export type Prescribed = z.infer<typeof prescribed>;

export const labSheetSchema = z.strictObject({
  schema: z.literal(SHEET_FORM),
  id,
  version: z.number().int().min(1),
  title: words,
  mode: z.enum(['treadmill', 'cycle', 'arm-crank', 'step', 'field']),
  kind: z.enum(['maximal', 'submaximal']),
  distance: amount.optional().describe('Field tests over a distance, like "1 mile": the test is over when it is covered'),
  marks: z.number().positive().optional().describe('What the marks of all questions add up to; the loader checks the sum'),
  course: words.optional(),
  objectives: z.array(words).min(1),
  cautions: z.array(words).min(1),
  'who-may-take-part': z.array(words).min(1),
  contraindications: z.strictObject({ source: words, list: z.array(words).min(1) }),
  details: z.strictObject({
    required: z.array(z.string()).min(1),
    asked: z.array(z.string()).default([]),
  }),
  checks: z
    .array(
      z.strictObject({
        id,
        text: words,
        hold: hold.default('instructor'),
        /** A value to write down, with the range in which the check passes. */
        value: z.strictObject({ unit: z.string(), min: z.number(), max: z.number(), source: words }).optional(),
        source: words.optional(),
      }),
    )
    .default([]),
  rest: z.strictObject({ posture: z.enum(postures).optional(), source: words.optional(), readings: z.array(readingRule).default([]), hold: hold.default('instructor') }),
  stages: z.strictObject({
    length: time,
    /** Whether later stages keep to the plan after a late change, or count from the real change. */
    timing: z.enum(['on-plan', 'from-change']),
    source: words,
    list: z.array(settings).min(1),
    /** A stage is held until two minutes' heart rates agree. Only with `from-change`: a held stage moves all that follow. */
    'steady-state': z
      .strictObject({
        within: z.number().min(0).describe('Beats by which the last two minutes may differ'),
        'repeats-at-most': z.number().int().min(0).max(5).default(2),
        source: words,
      })
      .optional(),
    /** After one stage, its heart rate (mean of the last two minutes, rounded) chooses the rest. */
    branch: z
      .strictObject({
        after: z.number().int().min(1),
        source: words,
        /** From the lowest up; each band holds from its `from` (0 where left out) up to, not including, its `below`. An empty `then` ends the test there. */
        bands: z.array(z.strictObject({ from: edge.default(0), below: edge.optional(), then: z.array(settings) })).min(2),
      })
      .optional(),
  }),
  'predicted-vo2': z
    .union([
      z.strictObject({
        walk: id,
        run: id,
        /** Between these speeds the gait that was seen chooses; where none was recorded, this one. */
        'between-walk-and-run': z.enum(gaits),
        source: words,
      }),
      /** One equation for every stage (leg or arm cycling, stepping). */
      z.strictObject({ formula: id, source: words }),
    ])
    .optional(),
  exercise: z.strictObject({ readings: z.array(readingRule).min(1) }),
  /** A heart rate at which the test ends by the sheet: the instructor is called; it always wins over a repeated minute. */
  'heart-rate-cap': z
    .strictObject({ text: words, formula: id, fraction: z.number().min(0.3).max(1), of: z.enum(['maximum', 'reserve']).default('maximum'), source: words })
    .optional(),
  stop: z.strictObject({ source: words, list: z.array(words).min(1), reasons: z.array(z.strictObject({ text: words, symptom: z.boolean(), finished: z.boolean().optional().describe('Said when the distance was covered; without it the time counts for nothing') })).min(1) }),
  recovery: z.strictObject({
    plan: z.array(z.strictObject({ posture: z.enum(postures), until: time, text: words, settings: settings.optional() })).min(1),
    longest: time,
    readings: z.array(readingRule).min(1),
    criteria: z
      .array(
        z.discriminatedUnion('kind', [
          z.strictObject({ kind: z.literal('heart-rate'), id, text: words, 'at-most': z.number(), 'or-within-of-rest': z.number(), source: words.optional() }),
          z.strictObject({ kind: z.literal('systolic'), id, text: words, 'within-of-rest': z.number(), source: words.optional() }),
          z.strictObject({ kind: z.literal('no-symptoms'), id, text: words, source: words.optional() }),
          z.strictObject({ kind: z.literal('shortest'), id, text: words, time, source: words.optional() }),
          z.strictObject({ kind: z.literal('seen'), id, text: words, source: words.optional() }),
        ]),
      )
      .min(1),
    source: words,
  }),
  results: z.strictObject({
    'hr-max': z.array(id).min(1).describe('Formulas for predicted maximal heart rate; the first is the one that the sheet uses'),
    'treadmill-time': z.strictObject({ male: z.array(id), female: z.array(id) }).optional(),
    reference: z.array(id).default([]).describe('Equations for predicted maximal oxygen uptake from age, sex and size'),
    norms: z.array(id).default([]),
    effort: id.optional().describe('A published set of effort criteria, by its id; maximal tests only'),
    /** Predicted maximal uptake (or anything else that a registered formula gives) from values of this record. */
    predictions: z.array(z.strictObject({ formula: id, with: z.record(z.string(), reference) })).default([]),
    /** The line of heart rate on oxygen uptake over the stages, extended to the predicted maximal heart rate. */
    line: z
      .strictObject({
        from: z.number().describe('Lowest heart rate that enters the line, /min'),
        'up-to-fraction': z.number().min(0.5).max(1).describe('Highest, as a fraction of the predicted maximum'),
        source: words,
      })
      .optional(),
    /** What this sheet takes as the participant's maximal oxygen uptake, for norms and prescription. */
    maximum: z.string().default('peak.vo2-rel').describe('"peak.vo2-rel", "line.vo2max", or "predicted." and the id of a formula under "predictions"'),
    prescription: z
      .strictObject({
        fraction: z.number().min(0.3).max(0.95).describe('Of heart-rate reserve and of oxygen-uptake reserve'),
        text: words,
        /** What the exercise is: the load that it takes is worked out by turning the equation of that exercise round. */
        by: prescribed.optional(),
        minutes: z.number().min(1).max(300).optional(),
        sessions: z.number().min(1).max(14).optional(),
      })
      .optional(),
  }),
  /** Bag analysis by hand: the constants that the lab uses, printed on the worksheet. */
  bag: z
    .strictObject({
      inspired: z.enum(['textbook', 'newer', 'today']).describe('Inspired fractions: 0.2093 and 0.0003, 0.2093 and 0.0004, or 0.2095 and 0.0004'),
      source: words,
    })
    .optional(),
  /** Over how many seconds a pulse is counted, and from when after the stop (step tests). */
  'pulse-count': z.strictObject({ seconds: z.number().int().min(5).max(60), source: words }).optional(),
  /** How answers count and when the student learns about them. */
  answers: z
    .strictObject({
      attempt: z.enum(['first', 'best', 'last']).optional().describe('Which of the attempts at an answer counts; the last where it is left out'),
      feedback: z.enum(['at-once', 'after-export', 'instructor']).optional().describe('When the student sees marks and reasons: with each attempt, once the worksheet was handed in (the usual), or from the instructor only'),
    })
    .optional(),
  /** Marks for the shared record, given by the marker once for everyone who hands the session in. */
  'record-marks': z.array(z.strictObject({ id, title: words, says: words.optional(), marks: z.number().positive(), rubric: z.array(rubricLevel).min(2).optional() })).max(20).optional(),
  questions: z.array(question).min(1),
});

export type RecordItem = NonNullable<z.infer<typeof labSheetSchema>['record-marks']>[number];
export type LabSheet = z.infer<typeof labSheetSchema>;
export type StageSettings = z.infer<typeof settings>;
