/** Results of submaximal, bag and ramp sheets on paper: the line, the bags step by step, efficiency, and the load of the prescription. */
import { bagConstants, bagInputDecimals, bagInputLabels } from '../../core/results/bag-words.ts';
import { bagDecimals, type BagResult } from '../../core/results/bag.ts';
import type { PrescribedExercise } from '../../core/results/prescription.ts';
import { formatNumber, formatQuantity, unitOf, type UnitCode } from '../../core/units/units.ts';
import { hairlines, step, type Block } from './ink.ts';
import type { Page } from './source.ts';

const number = (value: number | undefined, decimals: number): string => (value === undefined ? '–' : formatNumber(value, decimals));

/** Which stages make the line, which do not and why, and where it ends. */
export function linePart({ ink, source }: Page): Block[] {
  const { line } = source.results;
  if (!line) return [];
  const head = ['Stage of the line', 'Heart rate /min', 'VO₂ mL/kg/min', ''].map((text, at): Block => ({ text: ink.quiet(text, { bold: true }), ...(at === 1 || at === 2 ? { alignment: 'right' as const } : {}), noWrap: true }));
  const body = line.points.map((point): Block[] => [
    { text: ink.figure(String(point.stage)) },
    { text: ink.figure(number(point.heartRate, 1)), alignment: 'right' },
    { text: ink.figure(number(point.uptake, 1)), alignment: 'right' },
    { text: ink.quiet(point.enters ? 'enters' : `does not enter: ${point.why ?? ''}`) },
  ]);
  const end =
    line.vo2max === undefined
      ? `The line has no end: ${line.reason ?? 'not known'}.`
      : `Stages ${line.first?.stage} and ${line.second?.stage}, extended to a maximal heart rate of ${number(line.maximalHeartRate, 0)} /min: ${line.working ?? ''}. If that maximum is 10 /min off, the answer moves by ${number(line.perTenBeats, 1)} mL/kg/min.`;
  return [
    { table: { headerRows: 1, widths: ['auto', 'auto', 'auto', '*'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 14 }), margin: [0, step.block, 0, 0] },
    { text: ink.quiet(`${end} ${line.source}`), margin: [0, 3, 0, 0] },
  ];
}

/** One column a bag: what was read, then every step, with the constants underneath. */
export function bagPart({ ink, source }: Page): Block[] {
  const { bags } = source.results;
  const rule = source.session.sheet.bag;
  if (!rule || bags.length === 0) return [];
  const names = [...new Set(bags.flatMap((bag) => bag.inputs.map(([name]) => name)))];
  const ids = [...new Set(bags.flatMap((bag) => bag.steps.map((one) => one.id)))];
  const cell = (value: number | undefined, unit: UnitCode, places: number): Block => ({ text: value === undefined ? ink.quiet('–') : ink.figure(formatNumber(value, places)), alignment: 'right', noWrap: true });
  const labelled = (label: string, unit: UnitCode): Block => ({ text: [...ink.text(label, { size: 8.4 }), ...(unitOf(unit).label === '' ? [] : ink.quiet(` ${unitOf(unit).label}`, { size: 6.9 }))] });
  const read = names.map((name): Block[] => {
    const unit = bags[0]?.inputs.find(([of]) => of === name)?.[2] ?? '1';
    return [labelled(bagInputLabels[name] ?? name, unit), ...bags.map((bag) => cell(bag.inputs.find(([of]) => of === name)?.[1], unit, bagInputDecimals(name)))];
  });
  const steps = ids.map((id): Block[] => {
    const one = bags.flatMap((bag) => bag.steps).find((known) => known.id === id);
    const places = bagDecimals[id];
    return [labelled(one?.label ?? id, one?.unit ?? '1'), ...bags.map((bag) => cell(bag.steps.find((known) => known.id === id)?.value, one?.unit ?? '1', places))];
  });
  const head: Block[] = [{ text: ink.quiet('Bag', { bold: true }) }, ...bags.map((bag): Block => ({ text: ink.quiet(bag.stage === undefined ? 'Rest' : `Stage ${bag.stage}`, { bold: true }), alignment: 'right', noWrap: true }))];
  const notes = [
    bagConstants(rule),
    ...bags.flatMap((bag) => [...(bag.reason === undefined ? [] : [bag.reason]), ...bag.warnings].map((text) => `${whichBag(bag)}: ${text}`)),
  ];
  return [
    { table: { headerRows: 1, widths: ['*', ...bags.map(() => 'auto' as const)], body: [head, ...read, ...steps], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 14 }), margin: [0, step.block, 0, 0] },
    ...notes.map((text): Block => ({ text: ink.quiet(text), margin: [0, 3, 0, 0] })),
    ...efficiencyPart({ ink, source }),
  ];
}

const whichBag = (bag: BagResult): string => (bag.stage === undefined ? 'Rest' : `Stage ${bag.stage}`);

function efficiencyPart({ ink, source }: Pick<Page, 'ink' | 'source'>): Block[] {
  const { efficiencies } = source.results;
  if (!efficiencies) return [];
  const head = ['Efficiency', 'Load W', 'Energy kcal/min', 'Gross %', 'Net %'].map((text, at): Block => ({ text: ink.quiet(text, { bold: true }), ...(at > 0 ? { alignment: 'right' as const } : {}), noWrap: true }));
  const body = efficiencies.loads.map((one): Block[] => [
    { text: ink.text(`Stage ${one.stage}`, { size: 8.4 }) },
    ...[number(one.load, 0), number(one.energy, 2), number(one.gross, 1), number(one.net, 1)].map((text): Block => ({ text: ink.figure(text), alignment: 'right' })),
  ]);
  const { delta } = efficiencies;
  const notes = [
    delta ? `Delta efficiency, stages ${delta.from} to ${delta.to}: ${delta.working}.` : 'Delta efficiency needs two loads.',
    `Energy at rest ${number(efficiencies.resting, 2)} kcal/min. ${efficiencies.source}.`,
    ...efficiencies.loads.flatMap((one) => [...one.warnings, ...(one.why === undefined ? [] : [one.why])].map((text) => `Stage ${one.stage}: ${text}`)),
  ];
  return [
    { table: { headerRows: 1, widths: ['*', 'auto', 'auto', 'auto', 'auto'], body: [head, ...body], dontBreakRows: true, keepWithHeaderRows: 2 }, layout: hairlines({ headerRows: 1, gap: 14 }), margin: [0, step.block, 0, 0] },
    ...notes.map((text): Block => ({ text: ink.quiet(text), margin: [0, 3, 0, 0] })),
  ];
}

/** Label, what is said, and its ground: rows of the table of statements. */
export type Statement = readonly [label: string, says: string, note: string];

/** Lines through the loads of a ramp. */
export function slopeStatements({ source }: Pick<Page, 'source'>): readonly Statement[] {
  return source.results.slopes.map((one) => ['Slope', `${one.label}: ${number(one.slope, 1)}${one.id === 'vo2-load' ? '\u00a0mL/min/W' : ''}`, `${one.working}; r² ${number(one.rSquared, 3)}`]);
}

/** Uptake, load, week and own line of the prescription, where the sheet asks for them. */
export function exerciseStatements(exercise: PrescribedExercise | undefined): readonly Statement[] {
  if (!exercise) return [];
  if (exercise.vo2 === undefined) return [['Uptake and load', exercise.reason ?? 'not known', '']];
  const statements: Statement[] = [
    ['Uptake', `${number(exercise.vo2, 1)}\u00a0mL/kg/min, ${number(exercise.mets, 1)}\u00a0METs: ${exercise.classes?.byReserve} by reserve, ${exercise.classes?.byMets} by METs`, `of a ${exercise.uptakeFrom} maximum of ${number(exercise.maximalUptake, 1)} mL/kg/min`],
    exercise.load === undefined
      ? ['Load', exercise.noLoad ?? 'not known', '']
      : ['Load', `${formatQuantity(exercise.load.value, exercise.load.unit, exercise.load.unit === 'W' || exercise.load.unit === 'kgf.m/min' ? 0 : 1)}, ${exercise.load.what}`, exercise.load.working],
  ];
  const perMinute = `${number(exercise.kcalPerMinute?.gross, 1)} kcal/min gross, ${number(exercise.kcalPerMinute?.net, 1)} net, at 5 kcal for a litre of oxygen`;
  if (exercise.kcalPerWeek !== undefined) statements.push(['Week', `${exercise.sessions} × ${exercise.minutes}\u00a0min: ${number(exercise.kcalPerWeek.gross, 0)}\u00a0kcal gross, ${number(exercise.kcalPerWeek.net, 0)} net; ${number(exercise.metMinutesPerWeek, 0)}\u00a0MET·min`, perMinute]);
  if (exercise.ownLine !== undefined) statements.push(['Own line', `${number(exercise.ownLine.heartRate, 0)}\u00a0/min at that uptake`, `least squares through ${exercise.ownLine.stages} finished stages, uptake ${exercise.ownLine.uptake}`]);
  const [first, ...more] = exercise.warnings;
  if (first !== undefined) statements.push(['To know', [first, ...more].join(' '), '']);
  return statements;
}
