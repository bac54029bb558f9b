/** `formula`: every formula of the program from the command line, forward or solved for one of its inputs. */
import { evaluate, type GivenValue } from '../../core/formulas/evaluate.ts';
import { provenanceInWords, type Formula } from '../../core/formulas/formula.ts';
import { formulaById, formulas } from '../../core/formulas/registry.ts';
import { listed, nearest, oneOf } from '../../core/sheet/nearest.ts';
import { dimensionOf, formatNumber, isOxygenUptakeUnit, unitFromText, unitOf, type Dimension, type UnitCode } from '../../core/units/units.ts';
import { LabError, type Terminal, type Verb } from './lab-error.ts';

export const formulaVerb: Verb = {
  summary: 'computes a formula from values in any unit, or lists all formulas',
  options: { list: { type: 'boolean' }, json: { type: 'boolean' }, solve: { type: 'string' }, unit: { type: 'string' } },
  help: `Usage: npm run -s lab -- formula --list [--json]
       npm run -s lab -- formula ID name=value … [--solve NAME] [--unit UNIT] [--json]

Computes one formula. Values may carry units: speed=3.5mph grade=10% sex=female time=9:30. Without a unit a value is in the
formula's own. Outside the published range it computes and says so; where the formula has no meaning it refuses.

  --list         all formulas, by family
  --solve NAME   solve for this input; the result goes in by name: output=30 (or vo2=30), optional where one input is missing
  --unit UNIT    give the answer in this unit
  --json         the same as data; the form is in lab-sheets/README.md

  npm run -s lab -- formula walk-vo2-acsm speed=3.5mph grade=10%
  npm run -s lab -- formula walk-vo2-acsm output=8METs speed=2mph --solve grade
`,
  async run({ operands, options, terminal }) {
    const json = options['json'] === true;
    const [id, ...assignments] = operands;
    if (options['list'] === true || id === undefined) {
      if (options['list'] !== true) throw new LabError('formula takes an ID and name=value …, or --list; see: npm run -s lab -- formula --help', 2);
      if (id !== undefined) throw new LabError('--list takes nothing beside it', 2);
      list(terminal, json);
      return 0;
    }
    const formula = formulaById(id);
    if (!formula) {
      const ids = formulas.map((known) => known.id);
      // a word of an id ("ebbeling") is how people remember one
      const near = nearest(id, ids) ?? ids.filter((known) => id.length > 3 && known.includes(id.toLowerCase())).slice(0, 6).join('" or "');
      throw new LabError(`there is no formula "${id}"; ${near === '' ? 'see: npm run -s lab -- formula --list' : `did you mean "${near}"?`}`);
    }
    const given = readAssignments(formula, assignments);
    const solveFor = solveTarget(formula, given, options['solve']);
    if (assignments.length === 0) throw new LabError(`${formula.id} needs ${listed(Object.entries(formula.inputs).map(([name, spec]) => `${name}=… (${spec.label.toLowerCase()}${labelled(spec.unit)})`), 'and')}`);
    const unit = answerUnit(formula, solveFor, options['unit']);
    const done = evaluate(formula, given, { ...(solveFor === undefined ? {} : { solveFor }), ...(unit === undefined ? {} : { unit }) });
    if (!done.ok) throw new LabError(`${formula.id}: ${done.error.message.replace(/\.$/, '')}`);
    const solved = solveFor === undefined ? formula.output : formula.inputs[solveFor];
    const label = solved?.label ?? formula.output.label;
    if (json) {
      terminal.out(`${JSON.stringify({ formula: formula.id, title: formula.title, ...(solveFor === undefined ? {} : { solvedFor: solveFor }), value: done.value, unit: done.unit, unitLabel: unitOf(done.unit).label, working: done.working, warnings: done.warnings, inputs: used(done.form, done.used), error: formula.error ?? null, source: sourceOf(formula) }, null, 2)}\n`);
      return 0;
    }
    terminal.out(`${formula.title}\n${label}: ${formatNumber(done.value, decimals(formula, solveFor, done.value, done.unit))}${labelled(done.unit)}\n${done.working}\n`);
    for (const warning of done.warnings) terminal.out(`Note: ${warning}\n`);
    if (formula.error) terminal.out(`Published error: ${formula.error.text}\n`);
    terminal.out(`Source: ${formula.source.citation} (${provenanceInWords(formula.source.provenance)})\n`);
    return 0;
  },
};

const labelled = (unit: UnitCode): string => (unitOf(unit).label === '' ? '' : ` ${unitOf(unit).label}`);

function decimals(formula: Formula, solveFor: string | undefined, value: number, unit: UnitCode): number {
  if (solveFor === undefined && unit === formula.output.unit) return Math.max(formula.output.decimals, 2);
  const size = Math.abs(value);
  return size >= 1000 ? 0 : size >= 100 ? 1 : size >= 1 ? 2 : 4;
}

/** `maximal-heart-rate`, `maximalheartrate` and `maximalHeartRate` are one name. */
const flat = (name: string): string => name.normalize('NFKD').toLowerCase().replace(/[₀-₉]/g, (digit) => String('₀₁₂₃₄₅₆₇₈₉'.indexOf(digit))).replace(/[^a-z0-9]/g, '');

function readAssignments(formula: Formula, assignments: readonly string[]): Record<string, GivenValue> {
  const names = Object.keys(formula.inputs);
  const given: Record<string, GivenValue> = {};
  for (const assignment of assignments) {
    const at = assignment.indexOf('=');
    if (at <= 0) throw new LabError(`"${assignment}" is not name=value; write for example ${names[0] ?? 'name'}=…`, 2);
    const [typedName, value] = [assignment.slice(0, at).trim(), assignment.slice(at + 1).trim()];
    const name = names.find((known) => flat(known) === flat(typedName)) ?? (isOutputName(formula, typedName) ? 'output' : undefined);
    if (name === undefined) throw new LabError(`${formula.id} has no input "${typedName}"; ${oneOf(typedName, [...names, 'output'])}`);
    if (value === '') throw new LabError(`"${typedName}" has no value; write for example ${typedName}=…`);
    if (given[name]) throw new LabError(`"${typedName}" is given twice; keep one of the two`);
    given[name] = { value };
  }
  return given;
}

/** The result by its name: `output`, its label or its symbol, so that a solved line reads as it is said. */
function isOutputName(formula: Formula, name: string): boolean {
  const { label, symbol } = formula.output;
  return [ 'output', label, symbol].map(flat).includes(flat(name));
}

/** What to solve for: as asked, or the one input that is missing where the result is given. */
function solveTarget(formula: Formula, given: Readonly<Record<string, GivenValue>>, asked: string | boolean | undefined): string | undefined {
  const can = Object.keys(formula.solve ?? {});
  if (typeof asked === 'string') {
    const name = can.find((known) => flat(known) === flat(asked));
    if (name === undefined) throw new LabError(`${formula.id} cannot be solved for "${asked}"; ${can.length > 0 ? `it can for ${listed(can)}` : 'it has no inverse here'}`);
    if (given[name]) throw new LabError(`"${name}" is given and asked for; leave one out`);
    if (!given['output']) throw new LabError(`to solve for ${name}, give the result: output=… (${formula.output.label.toLowerCase()}${labelled(formula.output.unit)})`);
    return name;
  }
  if (!given['output']) return undefined;
  const missing = Object.entries(formula.inputs).filter(([name, spec]) => !given[name] && spec.default === undefined).map(([name]) => name);
  const [only] = missing;
  if (missing.length === 1 && only !== undefined && can.includes(only)) return only;
  throw new LabError(`the result is given; say what to solve for with --solve ${listed(can) || '(this formula has no inverse here)'}`);
}

function answerUnit(formula: Formula, solveFor: string | undefined, asked: string | boolean | undefined): UnitCode | undefined {
  if (typeof asked !== 'string') return undefined;
  const own = solveFor === undefined ? formula.output.unit : (formula.inputs[solveFor]?.unit ?? formula.output.unit);
  const dimensions: readonly Dimension[] = isOxygenUptakeUnit(own) ? ['flow', 'uptake-per-mass'] : [dimensionOf(own)];
  const unit = unitFromText(asked, dimensions);
  if (unit === undefined) throw new LabError(`"${asked}" is not a unit for ${(solveFor === undefined ? formula.output.label : (formula.inputs[solveFor]?.label ?? solveFor)).toLowerCase()}; its own is${labelled(own) || ' no unit'}`);
  return unit;
}

function used(form: Formula, values: Readonly<Record<string, number | string>>): readonly { name: string; value: number | string; unit: string }[] {
  return Object.entries(values).map(([name, value]) => ({ name, value, unit: (name === 'output' ? form.output.unit : form.inputs[name]?.unit) ?? '1' }));
}

const sourceOf = (formula: Formula): object => ({ citation: formula.source.citation, provenance: formula.source.provenance, seen: provenanceInWords(formula.source.provenance), ...(formula.source.note === undefined ? {} : { note: formula.source.note }) });

function list(terminal: Terminal, json: boolean): void {
  if (json) {
    const all = formulas.map((formula) => ({
      id: formula.id,
      title: formula.title,
      family: formula.family,
      equation: formula.equation,
      inputs: Object.entries(formula.inputs).map(([name, spec]) => ({
        name,
        label: spec.label,
        symbol: spec.symbol,
        ...(spec.choices ? { choices: spec.choices.map((choice) => choice.value) } : { unit: spec.unit, unitLabel: unitOf(spec.unit).label, alsoUnits: spec.alsoUnits ?? [] }),
        ...(spec.min === undefined ? {} : { min: spec.min }),
        ...(spec.max === undefined ? {} : { max: spec.max }),
        ...(spec.default === undefined ? {} : { default: spec.default }),
        ...(spec.note === undefined ? {} : { note: spec.note }),
      })),
      output: { label: formula.output.label, symbol: formula.output.symbol, unit: formula.output.unit, unitLabel: unitOf(formula.output.unit).label },
      range: formula.validity.map(({ input, min, max, text, hard }) => ({ input, ...(min === undefined ? {} : { min }), ...(max === undefined ? {} : { max }), text, refuses: hard === true })),
      error: formula.error ?? null,
      population: formula.population ?? null,
      solvesFor: Object.keys(formula.solve ?? {}),
      source: sourceOf(formula),
    }));
    terminal.out(`${JSON.stringify({ format: 'stagecall-formulas/1', formulas: all }, null, 2)}\n`);
    return;
  }
  const families = [...new Set(formulas.map((formula) => formula.family))];
  for (const family of families) {
    terminal.out(`${family}\n`);
    for (const formula of formulas.filter((known) => known.family === family)) {
      const inputs = Object.entries(formula.inputs).map(([name, spec]) => (spec.choices ? `${name}=${spec.choices.map((choice) => choice.value).join('|')}` : `${name}${unitOf(spec.unit).label === '' ? '' : ` [${unitOf(spec.unit).label}]`}`));
      terminal.out(`  ${formula.id}\n      ${formula.title}: ${inputs.join(', ')} -> ${formula.output.label.toLowerCase()}${labelled(formula.output.unit)}\n`);
    }
  }
}
