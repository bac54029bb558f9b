/** A session as it stands: what `foldSession` makes of its events. Plain data; nothing here is stored. */
import type { LabSheet } from '../sheet/schema.ts';
import type { DetailId, Gait, Posture, ReadingQuantity, SettingQuantity, Sex } from '../vocabulary.ts';
import type { UnitCode } from '../units/units.ts';
import type { Slot } from './events.ts';
import type { ScheduledSlot } from './schedule.ts';
import type { SeriesFacts } from './series.ts';

export type Phase = 'prepare' | 'rest' | 'exercise' | 'recovery' | 'worksheet';

/** A value as it was typed, and as it is understood. */
export interface Entered {
  readonly typed: string;
  readonly unit: string;
  /** In the quantity's own unit; undefined for words and codes. */
  readonly value?: number;
  readonly author: string;
  readonly taken: number;
  readonly seq: number;
}

export interface Reading extends Entered {
  readonly entered: number;
  readonly heard?: string;
  readonly source: string;
  readonly note?: string;
  readonly confirmed: boolean;
  /** Set where a later event took it back or replaced it; it stays visible. */
  readonly struck?: { readonly seq: number; readonly reason: string };
  readonly amendedBy?: number;
  /** Oxygen uptake typed per kilogram: the unit dimension it was given in. */
  readonly perKilogram?: boolean;
}

/** Everything that was written for one place on the sheet. */
export interface SlotState {
  readonly key: string;
  readonly slot: Slot & { readonly quantity: ReadingQuantity };
  /** Undefined for a reading that is not on the schedule. */
  readonly scheduled?: ScheduledSlot;
  /** All readings in the order they came, struck and amended ones too. */
  readonly readings: readonly Reading[];
  /** The one that counts: the recorder's, else the first author's; undefined where none stands. */
  readonly current?: Reading;
  /** Two authors' readings both stand and are not the same. */
  readonly differ: boolean;
  readonly notTaken?: { readonly reason: string; readonly author: string; readonly seq: number };
}

export interface StageState {
  readonly number: number;
  /** Real moment of the change, session time. */
  readonly changed: number;
  /** The same, counted from the start of exercise. */
  readonly changedAt: number;
  readonly ends: number;
  /** When it really ended: the next change, or the stop; undefined while it runs. */
  readonly ended?: number;
  /** Ran to its end by plan or until the next stage was set. An unfinished stage is not compared. */
  readonly completed: boolean;
  readonly planned: Settings;
  /** As really set, at the stage's end; equal to the plan unless something else was written. */
  readonly actual: Settings;
  readonly differsFromPlan: boolean;
  readonly gait?: Gait;
  readonly handrail: boolean;
  /** The change was not recorded but taken to be on plan (a paper sheet without stage times). */
  readonly assumed: boolean;
  /** Later than plan by this many milliseconds (on-plan sheets; 0 when on time or early). */
  readonly lateBy: number;
  /** Minutes for which the stage is held longer than planned. */
  readonly repeats: number;
  /** Where the sheet branches: how this stage was chosen, "117 and 119 in stage 1, mean 118: 101 or more". */
  readonly chosen?: string;
  /** Where the sheet asks for a steady heart rate. */
  readonly steady?: SteadyState;
}

/** Whether a stage's heart rate was steady, and why. */
export interface SteadyState {
  /** `pending`: the last two minutes are not both there yet. */
  readonly state: 'pending' | 'steady' | 'not-steady';
  /** The last two minutes' heart rates that were compared. */
  readonly pair?: readonly [number, number];
  /** Mean of the two, /min. */
  readonly mean?: number;
  /** "117 then 125: not steady, hold one more minute". */
  readonly says: string;
}

/** Settings in the vocabulary's units: km/h, %, W, /min. */
export type Settings = Partial<Record<SettingQuantity, { readonly value: number; readonly typed: string; readonly unit: UnitCode }>>;

export interface NextStage {
  readonly number: number;
  /** Undefined where it cannot be told yet: `says` names what is missing. */
  readonly settings?: Settings;
  /** "118 in stage 1 (mean of 117 and 119) is over 100: 50 W". */
  readonly says?: string;
}

export interface TimedText {
  readonly text: string;
  readonly taken: number;
  readonly author: string;
  readonly seq: number;
  readonly struck?: boolean;
  /** Notes only: sequence number of the reading whose call for the instructor it answers. */
  readonly answers?: number;
}

export interface SessionState extends SeriesFacts {
  readonly id: string;
  readonly way: 'live' | 'paper' | 'rehearsal';
  readonly rehearsal?: { readonly participant: string; readonly seed: number; readonly rate: number; readonly records: boolean };
  readonly sheet: LabSheet;
  readonly sheetHash: string;
  readonly openedWall: string;
  readonly length: number;
  /** Why nothing more may be written, in words. */
  readonly readOnly?: string;
  /** It is read-only for no other reason than that it is closed: a gas exchange file can still be joined. */
  readonly onlyClosed?: true;
  readonly phase: Phase;
  /** Starts of the phases, session time. */
  readonly starts: { readonly rest?: number; readonly exercise?: number; readonly recovery?: number; readonly closed?: number };
  readonly details: Partial<Record<DetailId, Entered>>;
  /** Earlier values of details that were changed. */
  readonly detailHistory: readonly (Entered & { readonly detail: string })[];
  readonly sex?: Sex;
  /** Kilograms. */
  readonly mass?: number;
  /** Years. */
  readonly age?: number;
  /** Centimetres. */
  readonly height?: number;
  readonly screening?: { readonly outcome: 'go' | 'another-test' | 'no-test-today'; readonly by: string; readonly taken: number };
  readonly consent: boolean;
  readonly checks: Readonly<Record<string, { readonly done: boolean; readonly typed?: string; readonly unit?: string; readonly value?: number; readonly author: string }>>;
  readonly overrides: readonly { readonly hold: string; readonly initials: string; readonly reason: string; readonly taken: number }[];
  readonly stages: readonly StageState[];
  /** What the sheet sets next, in words where it depends on what was measured. */
  readonly next?: NextStage;
  /** By slot key, in the order of due times; unscheduled readings among them. */
  readonly slots: ReadonlyMap<string, SlotState>;
  readonly symptoms: readonly TimedText[];
  readonly notes: readonly TimedText[];
  readonly gaits: readonly { readonly gait: Gait; readonly taken: number; readonly seq: number }[];
  readonly handrail: readonly { readonly held: boolean; readonly taken: number; readonly seq: number }[];
  readonly postures: readonly { readonly posture: Posture; readonly taken: number; readonly seq: number }[];
  readonly stop?: { readonly taken: number; readonly seq: number; readonly author: string; readonly reason?: string; readonly symptom: boolean };
  /** Stops that were taken back within ten seconds. */
  readonly stopsTakenBack: readonly { readonly taken: number }[];
  readonly falseStarts: readonly { readonly started: number; readonly reason: string }[];
  readonly criteriaSeen: Readonly<Record<string, { readonly met: boolean; readonly author: string; readonly taken: number }>>;
  readonly closing?: { readonly outcome: 'left' | 'handed-over' | 'abandoned'; readonly to?: string; readonly early?: { readonly initials: string; readonly reason: string } };
  readonly carried: readonly { readonly why: string; readonly bridge: string; readonly gap: number; readonly taken: number }[];
  readonly people: { readonly recorder?: string; readonly tester?: string };
}
