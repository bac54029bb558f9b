/** Prepare and Rest: what stands at the head of the sheet. Readings are placed in `readings.ts`. */
import { readDetail } from '../session/plausible-details.ts';
import { oneOf } from '../sheet/nearest.ts';
import { unitOf, type UnitCode } from '../units/units.ts';
import { detailQuantities, numericDetails, type DetailId } from '../vocabulary.ts';
import { addObservation } from './observations.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { remark, sentence, type Steps } from './steps.ts';
import { hasNoUnit, isNotTaken, readNumber, readYesNo } from './values.ts';

const outcomes = { go: 'go', yes: 'go', 'another test': 'another-test', 'another-test': 'another-test', 'no test today': 'no-test-today', 'no-test-today': 'no-test-today', no: 'no-test-today' } as const;

export function addHead(steps: Steps, row: SessionRow, taken: number): void {
  const { quantity } = row;
  switch (quantity.kind) {
    case 'detail':
      addDetail(steps, row, quantity.detail, taken);
      return;
    case 'screening': {
      const word = row.value.toLowerCase();
      if (!Object.hasOwn(outcomes, word)) throw new ReplayError(row.line, `"${row.value}" is not an outcome of screening`, 'write go, another-test or no-test-today');
      steps.addFor(row, { kind: 'screening-done', data: { outcome: outcomes[word as keyof typeof outcomes], by: steps.author(row.by) } }, taken);
      return;
    }
    case 'consent':
      steps.addFor(row, { kind: 'consent-noted', data: { given: readYesNo(row) } }, taken);
      return;
    case 'check':
      addCheck(steps, row, quantity.check, taken);
      return;
    default:
      addObservation(steps, row, taken);
  }
}

function addDetail(steps: Steps, row: SessionRow, detail: DetailId, taken: number): void {
  const { label, accepts, unit: own } = detailQuantities[detail];
  if (isNotTaken(row)) {
    steps.note(row, row.note === '' ? '' : `${label} not given: ${row.note}`, taken);
    return;
  }
  if (row.value.length > 200) throw new ReplayError(row.line, `${label.toLowerCase()} is too long`, 'at most 200 characters');
  const number = numericDetails.includes(detail) ? readNumber(row, label, accepts, own) : undefined;
  // The rules ask about a bare number that looks like another unit; a unit in its own column answers that.
  const read = readDetail(detail, number && row.unit !== '' && hasNoUnit({ ...row, unit: '' }) ? `${row.value} ${unitOf(number.unit).label}` : row.value);
  if (!read.ok) throw new ReplayError(row.line, sentence(read.message), detail === 'sex' ? 'write female or male, or - where it was not given' : 'correct the value or its unit');
  if (read.judged.level === 'ask') steps.warn(remark(read.judged.message), row);
  steps.addFor(row, { kind: 'detail-given', data: { detail, typed: row.value, ...(number ? { unit: number.unit } : {}) } }, taken);
}

function addCheck(steps: Steps, row: SessionRow, id: string, taken: number): void {
  const check = steps.sheet.checks.find((known) => known.id === id);
  if (!check) throw new ReplayError(row.line, `the lab sheet has no check "${id}"`, oneOf(id, steps.sheet.checks.map((known) => known.id)));
  if (isNotTaken(row)) {
    steps.addFor(row, { kind: 'check-done', data: { check: id, done: false } }, taken);
  } else if (check.value === undefined) {
    steps.addFor(row, { kind: 'check-done', data: { check: id, done: row.value === '' || readYesNo(row) } }, taken);
  } else {
    // The loader has turned the sheet's unit into a code.
    const unit = check.value.unit as UnitCode;
    const number = readNumber(row, check.text, [unit], unit);
    steps.addFor(row, { kind: 'check-done', data: { check: id, done: true, typed: row.value, unit: number.unit } }, taken);
  }
}
