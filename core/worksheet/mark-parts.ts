/**
 * How a question's marks divide. After published schemes (mark schemes of several examination boards): a unit costs one mark of the calculation, an
 * arithmetic slip one mark only, and shown method keeps its mark when the value is wrong.
 */

export interface MarkParts {
  /** Lost once per question for a missing or wrong unit. */
  readonly unit: number;
  /** Kept for the right method with a wrong value. */
  readonly method: number;
  /** Lost when the working is right and the stated number is not. */
  readonly arithmetic: number;
  /** Given for a value within the wider tolerance. */
  readonly near: number;
}

/** Half marks are the smallest; a question of one mark has no method mark to keep. */
export function partsOf(marks: number): MarkParts {
  const one = Math.min(1, marks / 2);
  return {
    unit: marks >= 3 ? 1 : Math.min(0.5, marks / 2),
    method: marks >= 3 ? Math.max(1, Math.floor(marks / 4)) : marks >= 2 ? 0.5 : 0,
    arithmetic: one,
    near: marks / 2,
  };
}

/** To half marks. Whatever is short of full marks stays short of them. */
export function toHalfMarks(marks: number, outOf: number): number {
  const exact = Math.max(0, Math.min(marks, outOf));
  if (exact >= outOf - 1e-9) return outOf;
  const halves = Math.round(exact * 2 + 1e-9) / 2;
  return halves < outOf ? halves : Math.max(0, Math.ceil(outOf * 2 - 1 - 1e-9) / 2);
}
