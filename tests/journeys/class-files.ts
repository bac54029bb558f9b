/**
 * A class as it hands in: thirty invented tests, two students each. Made from one session that went through every rule, with other
 * people, uptakes and pulses put into its events and the chain made anew; so that sixty records take a blink and not a minute.
 */
import { bodyOf, eventOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { chainHash, CHAIN_START } from '../../core/record/chain.ts';
import { uniform } from '../../core/rehearsal/chance.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';

export interface ClassFile {
  readonly name: string;
  readonly text: string;
  readonly student: string;
  readonly participant: string;
}

function rechained(events: readonly StoredEvent[], change: (event: RecordEvent) => RecordEvent): StoredEvent[] {
  let last = CHAIN_START;
  return events.map(({ body }) => {
    const changed = bodyOf(change(eventOf(body)));
    last = chainHash(last, changed);
    return { body: changed, hash: last };
  });
}

/** @param tests each is handed in by two students: `s-2201` and `s-2202` hold the first. */
export function classFiles(tests: number): readonly ClassFile[] {
  const whole = wholeSession({ details: { group: 'A', term: 'Spring', course: 'EXS 210' } });
  const answers = answered(whole).handIn();
  return Array.from({ length: tests }, (_, index) => {
    const id = `session-class-${String(index + 1).padStart(2, '0')}`;
    const participant = `R-${String(index + 1).padStart(2, '0')}`;
    const fit = uniform(3, 'fit', index);
    const details: Readonly<Record<string, string>> = { 'participant-code': participant, group: 'ABC'[index % 3] ?? 'A', sex: index % 2 === 0 ? 'female' : 'male', age: String(20 + (index % 6)), mass: (56 + 24 * uniform(3, 'mass', index)).toFixed(1) };
    const session = rechained(whole.stored, (event) => {
      const data = event.data as { detail?: string; typed?: string; slot?: { quantity: string; phase: string; mark: string } };
      const typed = data.detail !== undefined ? details[data.detail] : data.slot?.quantity === 'vo2' && data.slot.mark === 'stop' ? (2.15 + 1.3 * fit).toFixed(2) : data.slot?.quantity === 'heart-rate' && data.slot.phase !== 'rest' ? String(Number(data.typed) + Math.round(14 * uniform(3, 'pulse', index) - 7)) : undefined;
      return { ...event, record: id, ...(typed === undefined ? {} : { data: { ...data, typed } }) };
    });
    return [1, 2].map((partner) => {
      const student = `s-${2200 + 2 * index + partner}`;
      const worksheet = rechained(answers.stored, (event) => {
        const data = event.data as { session?: string; question?: string; typed?: string };
        const opened = event.kind === 'worksheet-opened' ? { session: id, sessionHead: session.at(-1)?.hash ?? '', student } : {};
        // One in eight gets the predicted maximum wrong by a slip of ten; everything else follows the one test that was worked by hand.
        const slipped = event.kind === 'answer-given' && data.question === 'hr-max' && (2 * index + partner) % 8 === 0 ? { typed: '183' } : {};
        return { ...event, record: `worksheet-${student}`, author: student, data: { ...data, ...opened, ...slipped } };
      });
      return { name: `${student}.json`, student, participant, text: worksheetFileText(buildWorksheetFile({ session: { events: session }, worksheet: { events: worksheet }, version: '0.1.0' })) };
    });
  }).flat();
}

