/** The head of the page: what was tested, by whom, under which conditions, and what was set aside. */
import { formatClock } from '../../core/clock-text.ts';
import { holdsOf } from '../../core/session/holds.ts';
import { hundredths } from '../../core/units/format.ts';
import { isUnitCode, unitOf, type UnitCode } from '../../core/units/units.ts';
import { detailQuantities, numericDetails, type DetailId } from '../../core/vocabulary.ts';
import { empty, hairlines, rule, size, step, type Block } from './ink.ts';
import { dayAndTime, type Page } from './source.ts';

/** The one mark that no page is without where it applies. */
export function wayMark(way: 'live' | 'paper' | 'rehearsal'): string | undefined {
  if (way === 'rehearsal') return 'Rehearsal against a simulated participant. Not a test.';
  if (way === 'paper') return 'Keyed in from a paper sheet.';
  return undefined;
}

/** The page’s title: sheet, course, participant’s code, when and how it was stopped, and the marks where there are any. */
export function titleBlock({ source, ink, width }: Page): Block[] {
  const { session, worksheet, marking } = source;
  const detail = (id: DetailId): string => session.details[id]?.typed ?? '';
  const course = [detail('course'), detail('group') === '' ? '' : `group ${detail('group')}`, detail('term')].filter((part) => part !== '').join(' · ');
  const stop = session.stop === undefined || session.starts.exercise === undefined ? undefined : `Stopped at ${formatClock(session.stop.taken - session.starts.exercise)}${session.stop.reason === undefined ? '' : `: ${lowerFirst(session.stop.reason)}`}`;
  const handedIn = worksheet.handedIn === undefined ? 'Not handed in yet' : `Handed in ${dayAndTime(worksheet.handedIn.wall)}${worksheet.handedIn.changedSince ? ', changed since' : ''}`;
  const total: Block =
    marking === undefined
      ? { text: '' }
      : {
          stack: [
            { text: [...ink.figure(hundredths(marking.total), { bold: true, size: 24 }), ...ink.quiet(`  of ${hundredths(marking.outOf)}`, { size: size.body })], alignment: 'right' } satisfies Block,
            ...(marking.pending > 0 ? [{ text: ink.quiet(`${hundredths(marking.pending)} wait for the marker`), alignment: 'right' } satisfies Block] : []),
          ],
        };
  return [
    {
      columns: [
        {
          width: '*',
          stack: [
            { text: [...ink.quiet('Student ', { size: size.body }), ...ink.text(worksheet.student, { bold: true, size: size.body }), ...ink.quiet('   Participant ', { size: size.body }), ...ink.text(participantOf(source.session), { bold: true, size: size.body })] },
            { text: ink.text(session.sheet.title, { bold: true, size: size.title }), role: 'H1', margin: [0, 3, 0, 2], lineHeight: 1.05 },
            { text: ink.quiet([dayAndTime(session.openedWall), stop, course].filter((part) => part !== undefined && part !== '').join('   ·   '), { size: 8.4 }) },
            { text: ink.quiet(handedIn, { size: 8.4 }), margin: [0, 1.5, 0, 0] },
          ],
        },
        { width: marking === undefined ? 1 : 96, ...total },
      ],
      columnGap: 12,
    },
    rule(width, '#1b2225', 0.8),
  ];
}

function participantOf(session: Page['source']['session']): string {
  return session.details['participant-code']?.typed ?? 'without a code';
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** Participant, room and pair: labels above values, six to a line. */
export function conditions({ source, ink }: Page): Block[] {
  const { session } = source;
  const shown: readonly DetailId[] = ['sex', 'age', 'height', 'mass', 'temperature', 'pressure', 'humidity', 'ergometer', 'recorder', 'tester'];
  const pairs = shown.flatMap((id) => {
    const entered = session.details[id];
    if (entered === undefined || entered.typed === '') return [];
    return [{ label: detailQuantities[id].short, value: numericDetails.includes(id) ? withUnit(entered.typed, entered.unit, detailQuantities[id].unit) : entered.typed }];
  });
  const screening = session.screening;
  pairs.push({ label: 'Screening', value: screening === undefined ? 'not noted' : screening.outcome === 'go' ? `done, ${screening.by}` : screening.outcome === 'another-test' ? 'another test' : 'no test today' });
  pairs.push({ label: 'Consent', value: session.consent ? 'noted' : 'not noted' });
  const { checks: asked } = session.sheet;
  if (asked.length > 0) {
    const passed = asked.filter((check) => passes(check, session.checks[check.id])).length;
    pairs.push({ label: 'Checks', value: passed === asked.length ? `all ${asked.length} passed` : `${passed} of ${asked.length} passed` });
  }
  const perLine = 6;
  const lines: Block[][] = [];
  for (let at = 0; at < pairs.length; at += perLine) {
    const line = pairs.slice(at, at + perLine);
    lines.push(Array.from({ length: perLine }, (_, index) => (line[index] === undefined ? empty : { role: 'P', stack: [{ text: ink.quiet(line[index].label) }, { text: ink.text(line[index].value, { size: size.body }) }] })));
  }
  const changed: readonly string[] = session.detailHistory.map((earlier) => `${labelOf(earlier.detail)} was first written as ${earlier.typed}`);
  return [
    { role: 'none', table: { widths: Array.from({ length: perLine }, () => '*'), body: lines }, layout: { ...hairlines({ headerRows: 0 }), paddingTop: () => 4, paddingBottom: () => 4 }, margin: [0, step.small, 0, 0] },
    ...(changed.length === 0 ? [] : [{ text: ink.quiet(`${changed.join('; ')}.`), margin: [0, 3, 0, 0] } satisfies Block]),
  ];
}

function labelOf(detail: string): string {
  return Object.hasOwn(detailQuantities, detail) ? detailQuantities[detail as DetailId].label : detail;
}

/** As typed, with the label of its unit: "168 cm", "135 lb". */
export function withUnit(typed: string, unit: string | undefined, fallback: UnitCode): string {
  const code = unit !== undefined && isUnitCode(unit) ? unit : fallback;
  const label = unitOf(code).label;
  return label === '' || /[a-z%°]/i.test(typed) ? typed : `${typed} ${label}`;
}

type Check = Page['source']['session']['sheet']['checks'][number];

function passes(check: Check, done: { readonly done: boolean; readonly value?: number } | undefined): boolean {
  if (done?.done !== true) return false;
  return check.value === undefined || (done.value !== undefined && done.value >= check.value.min && done.value <= check.value.max);
}

/** Every hold that an instructor answered for, with initials and reason: said at once, under the conditions. */
export function overrides({ source, ink }: Page): Block[] {
  const { session } = source;
  const holds = new Map(holdsOf(session).map((hold) => [hold.id, hold.text]));
  return session.overrides.map((made) => ({
    text: [...ink.text('◆ Set aside by an instructor: ', { bold: true, size: 8.4 }), ...ink.text(`${holds.get(made.hold) ?? made.hold}. ${made.reason} (${made.initials})`, { size: 8.4 })],
    margin: [0, 4, 0, 0],
  }));
}

/** Checks with their values and ranges. */
export function checks({ source, ink, width }: Page): Block[] {
  const { session } = source;
  const rows = session.sheet.checks.map((check): Block[] => {
    const done = session.checks[check.id];
    const range = check.value === undefined ? '' : `${hundredths(check.value.min)} to ${withUnit(hundredths(check.value.max), check.value.unit, '1')}`;
    const passed = passes(check, done);
    return [
      { text: ink.text(passed ? '✓' : '–', { bold: true }) },
      { text: ink.text(check.text, { size: 8.4, ...(passed ? {} : { bold: true }) }) },
      { text: done?.typed === undefined ? [] : ink.figure(withUnit(done.typed, done.unit ?? check.value?.unit, '1'), { size: 8.4, bold: !passed }), alignment: 'right', noWrap: (done?.typed ?? '').length < 24 },
      { text: ink.quiet(range), alignment: 'right', noWrap: true },
    ];
  });
  const table: Block[] = rows.length === 0 ? [] : [{ table: { widths: [8, '*', 'auto', 'auto'], body: rows, dontBreakRows: true }, layout: { ...hairlines({ headerRows: 0 }), paddingTop: () => 1.8, paddingBottom: () => 1.4 } }];
  return rows.length === 0 ? [] : [ink.section('Checks before the test', width), ...table];
}

