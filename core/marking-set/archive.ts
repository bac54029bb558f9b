/** What an archived set still shows: marks, markers and students. Nothing that was measured, and nothing that quotes it. */
import type { SetView } from './view-types.ts';

/** Findings that say nothing about a person's body. */
const kept: readonly string[] = ['late', 'extension', 'several-hand-ins', 'duplicate-file', 'duplicate-worksheet', 'unknown-student', 'student-corrected', 'wrong-sheet', 'stripped', 'damaged', 'empty', 'not-a-worksheet', 'rehearsal-accepted', 'issued-accepted', 'issued-record', 'rehearsal', 'hand-in-time-unknown'];

/** A set’s table as it stays after archiving: marks and what was found of the hand-ins, without participant, session or worksheet. */
export function archivedView(view: SetView): SetView {
  return {
    ...view,
    files: view.files.map(({ participant: _participant, session: _session, worksheet: _worksheet, ...row }) => ({ ...row, findings: row.findings.filter(({ code }) => kept.includes(code)) })),
    conflicts: [],
    moved: [],
    groundMoved: [],
  };
}
