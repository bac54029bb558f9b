/** What was seen, said and set aside: every row that is no reading, no detail and no setting. */
import { holdsOf } from '../session/holds.ts';
import { oneOf } from '../sheet/nearest.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { coolDownNote } from './settings.ts';
import { rank, type Steps } from './steps.ts';
import { isNotTaken, readGait, readPosture, readYesNo } from './values.ts';

export function addObservation(steps: Steps, row: SessionRow, taken: number): void {
  const { quantity } = row;
  if (isNotTaken(row)) {
    if (quantity.kind !== 'reading' && row.note !== '') steps.note(row, `${quantity.id}: ${row.note}`, taken);
    return;
  }
  switch (quantity.kind) {
    // Worked out elsewhere: readings.ts, interpret.ts (stop), students.ts.
    case 'reading':
    case 'stop':
    case 'student-key':
      return;
    case 'stage':
      break;
    case 'setting':
      if (row.phase === 'recovery') steps.note(row, coolDownNote(row), taken);
      break;
    case 'gait':
      if (row.phase === 'recovery') steps.note(row, `Cool-down: ${readGait(row)}`, taken);
      else steps.addFor(row, { kind: 'gait-seen', data: { gait: readGait(row) } }, taken, rank.remark);
      break;
    case 'handrail':
      steps.addFor(row, { kind: 'handrail-held', data: { held: readYesNo(row, 'yes or no, held or free') } }, taken, rank.remark);
      break;
    case 'posture':
      steps.addFor(row, { kind: 'posture-changed', data: { posture: readPosture(row) } }, taken);
      break;
    case 'symptom':
      addSymptom(steps, row, taken);
      return;
    case 'note':
      if (row.value === '' && row.note === '') throw new ReplayError(row.line, 'the note is empty', 'write it in value or note');
      steps.note(row, together(row), taken);
      return;
    case 'override':
      addOverride(steps, row, taken);
      return;
    case 'criterion':
      addCriterion(steps, row, quantity.criterion, taken);
      break;
    default:
      throw new ReplayError(row.line, `"${quantity.id}" does not belong to the phase "${row.phase}"`, `give it in ${quantity.phases.join(' or ')}`);
  }
  steps.note(row, row.note, taken);
}

/** Value and note as one text. */
const together = (row: SessionRow): string => [row.value, row.note].filter((part) => part !== '').join(': ');

/** "No symptoms" answers the sheet's criterion in recovery, and is a note elsewhere. */
function addSymptom(steps: Steps, row: SessionRow, taken: number): void {
  if (row.value === '' && row.note === '') throw new ReplayError(row.line, 'the symptom is not named', 'write it in value or note');
  const criterion = steps.sheet.recovery.criteria.find((known) => known.kind === 'no-symptoms');
  if (!/^(?:no|none|nil|no symptoms?|without)$/i.test(row.value)) steps.addFor(row, { kind: 'symptom-noted', data: { text: together(row).slice(0, 200) } }, taken, rank.remark);
  else if (row.phase === 'recovery' && criterion) steps.addFor(row, { kind: 'criterion-seen', data: { criterion: criterion.id, met: true } }, taken, rank.remark);
  else steps.note(row, 'No symptoms', taken);
}

function addOverride(steps: Steps, row: SessionRow, taken: number): void {
  if (row.by === '') throw new ReplayError(row.line, 'nobody answers for this override', 'write the instructor’s initials in the column "by"');
  if (row.note === '') throw new ReplayError(row.line, 'this override has no reason', 'write it in the column "note"');
  const flat = (text: string): string => text.toLowerCase().replace(/[^a-z0-9]+/g, ' ').trim();
  const said = flat(row.value);
  const hold = holdsOf(steps.state()).find((known) => [known.id, known.text, known.id.replace(/^(?:detail|check)-/, '')].some((name) => flat(name) === said));
  steps.addFor(row, { kind: 'hold-overridden', data: { hold: (hold?.id ?? row.value).slice(0, 200), initials: steps.author(row.by), reason: row.note.slice(0, 200) } }, taken, rank.remark);
}

function addCriterion(steps: Steps, row: SessionRow, id: string, taken: number): void {
  const { criteria } = steps.sheet.recovery;
  const seen = criteria.filter((known) => known.kind === 'seen' || known.kind === 'no-symptoms').map((known) => known.id);
  if (!criteria.some((known) => known.id === id)) throw new ReplayError(row.line, `the lab sheet has no criterion "${id}"`, oneOf(id, seen));
  if (!seen.includes(id)) throw new ReplayError(row.line, `the criterion "${id}" is worked out from readings`, 'take the row out');
  steps.addFor(row, { kind: 'criterion-seen', data: { criterion: id, met: row.value === '' || readYesNo(row) } }, taken, rank.remark);
}
