/** The questions of a lab sheet with room to answer them by hand. */
import { effortSetById } from '../../core/formulas/effort-sets.ts';
import type { Question } from '../../core/sheet/schema.ts';
import { mostStages } from '../../core/sheet/stage-plan.ts';
import { hundredths } from '../../core/units/format.ts';
import { isUnitCode, unitOf } from '../../core/units/units.ts';
import { grid, lines, type BlankPage } from './blank-parts.ts';
import { soft, step, type Block } from './ink.ts';

/** The questions with room to answer by hand. */
export function blankQuestions(page: BlankPage): Block[] {
  const { ink, sheet, width } = page;
  return [{ ...ink.section('Questions', width), headlineLevel: 3 }, ...sheet.questions.map((question, index) => block(page, question, index + 1))];
}

function block(page: BlankPage, question: Question, number: number): Block {
  const { ink, width } = page;
  const inner = width - 20 - 50 - 12;
  return {
    columns: [
      { width: 20, text: ink.figure(String(number), { bold: true, color: soft, size: 9.6 }) },
      {
        width: '*',
        stack: [
          { text: ink.text(question.title, { bold: true, size: 9.6 }), role: 'H3' },
          { text: ink.quiet(question.ask, { size: 8.2 }), margin: [0, 1, 0, 2], lineHeight: 1.12 },
          ...room(page, question, inner),
        ],
      },
      { width: 50, text: ink.quiet(`${hundredths(question.marks)} marks`), alignment: 'right' },
    ],
    columnGap: 6,
    margin: [0, step.small + 1, 0, step.small + 3],
    unbreakable: true,
  };
}

const label = (unit: string): string => (isUnitCode(unit) ? unitOf(unit).label : unit);

function room(page: BlankPage, question: Question, width: number): Block[] {
  const { ink, sheet } = page;
  switch (question.kind) {
    case 'written':
      return [lines(Math.min(18, Math.max(8, Math.round(question.marks * 1.8))), width)];
    case 'number':
      return [...(question.working ? [{ text: ink.quiet('Working'), margin: [0, 2, 0, 0] } satisfies Block, lines(2, width)] : []), { text: ink.text(`Answer  ……………………………  ${label(question.unit)}`, { size: 8.8 }), margin: [0, 8, 0, 0] }];
    case 'choice':
      return question.choices === undefined
        ? [{ text: ink.text('Answer  ……………………………………………', { size: 8.8 }), margin: [0, 8, 0, 0] }]
        : [{ text: ink.text(question.choices.map((choice) => `□\u00a0${choice.label}`).join('     '), { size: 8.8 }), margin: [0, 3, 0, 0], lineHeight: 1.3 }];
    case 'table': {
      const rows = question.rows === 'completed-stages' ? Array.from({ length: Math.min(mostStages(sheet), 10) }, (_, at) => (mostStages(sheet) > 10 ? '' : `Stage ${at + 1}`)) : question.rows.map((row) => row.label);
      const head = ['', ...(question.working ? ['Working'] : []), `Answer, ${label(question.unit)}`].map((text): Block => ({ text: ink.quiet(text, { bold: true }) }));
      const body = rows.map((row): Block[] => [{ text: ink.figure(row === '' ? ' ' : row, { size: 8.2 }) }, ...(question.working ? [{ text: [] } satisfies Block] : []), { text: [] }]);
      return [{ table: { headerRows: 1, widths: question.working ? [70, '*', 84] : [70, '*'], body: [head, ...body], dontBreakRows: true }, layout: grid }];
    }
    case 'judgement': {
      const set = effortSetById(sheet.results.effort);
      const names: Readonly<Record<string, string>> = { plateau: 'Plateau of oxygen uptake', rer: 'RER', 'heart-rate-within': 'Peak heart rate', 'heart-rate-percent': 'Peak heart rate', rpe: 'RPE', lactate: 'Lactate' };
      const criteria = [...new Set([...(set?.sufficient ?? []), ...(set?.supporting ?? [])].map((one) => names[one.kind] ?? one.kind))];
      const body = criteria.map((name): Block[] => [{ text: ink.text(name, { size: 8.2 }) }, { text: ink.text('□\u00a0met     □\u00a0not met     □\u00a0cannot be judged', { size: 8.2 }) }]);
      return [{ table: { widths: [130, '*'], body: [...body, [{ text: ink.text('Conclusion', { size: 8.2, bold: true }) }, { text: ink.text('□\u00a0maximal: VO₂max     □\u00a0not shown to be maximal: VO₂peak', { size: 8.2 }) }]], dontBreakRows: true }, layout: grid }];
    }
  }
}
