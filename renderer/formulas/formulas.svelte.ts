/** The formula reference: every formula of the program, searched, and worked with values as one types them. */
import { evaluate, type GivenValue } from '../../core/formulas/evaluate.ts';
import { provenanceInWords, type Formula, type InputSpec } from '../../core/formulas/formula.ts';
import { formulas } from '../../core/formulas/registry.ts';
import { formatQuantity, unitOf, type UnitCode } from '../../core/units/units.ts';

export interface InputLine {
  readonly name: string;
  readonly spec: InputSpec;
  /** "L/min (also mL/min), 0.1 to 8. What to mind." */
  readonly hint: string;
  /** What stands where nothing is typed: the value that is then taken. */
  readonly otherwise: string;
}

/** A unit in which the answer can be given. */
export interface AnswerUnit {
  readonly code: UnitCode;
  readonly label: string;
}

export class FormulaPage {
  search = $state('');
  #chosen = $state<string | undefined>(undefined);
  /** Typed values, by formula and input. */
  #typed = $state<Record<string, string>>({});
  /** Input that is solved for, by formula; empty: the output. */
  #solveFor = $state<Record<string, string>>({});
  /** Unit of the answer, by formula and what is worked out. */
  #units = $state<Record<string, UnitCode>>({});

  readonly found = $derived.by(() => {
    const words = plain(this.search).split(/\s+/).filter((word) => word !== '');
    const has = (text: string): boolean => words.every((word) => text.includes(word));
    const found = formulas.filter((formula) => has(searchText(formula)));
    // what bears the words in its name comes before what only mentions them
    const named = found.filter((formula) => has(plain(`${formula.title} ${formula.id}`)));
    return named.length === found.length ? found : [...named, ...found.filter((formula) => !named.includes(formula))];
  });
  readonly families = $derived([...new Set(this.found.map((formula) => formula.family))].map((family) => ({ family, formulas: this.found.filter((formula) => formula.family === family) })));
  readonly current = $derived(this.found.find((formula) => formula.id === this.#chosen) ?? this.found[0]);
  readonly solveFor = $derived(this.current === undefined ? '' : (this.#solveFor[this.current.id] ?? ''));
  readonly solvable = $derived(Object.keys(this.current?.solve ?? {}));
  readonly inputs = $derived.by((): readonly InputLine[] => {
    const { current, solveFor } = this;
    if (!current) return [];
    const specs = Object.entries(current.inputs).filter(([name]) => name !== solveFor);
    const output: readonly (readonly [string, InputSpec])[] = solveFor === '' ? [] : [['output', { label: current.output.label, symbol: current.output.symbol, unit: current.output.unit, alsoUnits: current.output.alsoUnits ?? [] }]];
    return [...output, ...specs].map(([name, spec]) => lineOf(name, spec));
  });
  readonly result = $derived.by(() => (this.current ? this.#work(this.current) : undefined));
  readonly answerUnits = $derived(this.current ? answerUnitsOf(this.current, this.solveFor) : []);
  /** The unit chosen for the answer, or the one that is usual. */
  readonly answerUnit = $derived(this.#units[`${this.current?.id}/${this.solveFor}`] ?? this.answerUnits[0]?.code);
  readonly ranges = $derived(this.current ? rangesOf(this.current) : []);
  readonly outputUnit = $derived(this.current ? unitOf(this.current.output.unit).label || 'a number without a unit' : '');
  readonly source = $derived(this.current && provenanceInWords(this.current.source.provenance));

  constructor(chosen: string | undefined) {
    this.#chosen = chosen;
  }

  choose(id: string): void {
    this.#chosen = id;
  }
  solve(name: string): void {
    if (this.current) this.#solveFor[this.current.id] = name;
  }
  answerIn(unit: string): void {
    const known = this.answerUnits.find(({ code }) => code === unit);
    if (known) this.#units[`${this.current?.id}/${this.solveFor}`] = known.code;
  }
  value(name: string): string {
    return this.#typed[`${this.current?.id}/${name}`] ?? '';
  }
  type(name: string, text: string): void {
    this.#typed[`${this.current?.id}/${name}`] = text;
  }

  #work(formula: Formula): { readonly answer: string; readonly working: string; readonly warnings: readonly string[] } | { readonly trouble: string } | undefined {
    const given: Record<string, GivenValue> = {};
    for (const { name } of this.inputs) {
      const text = this.value(name).trim();
      if (text !== '') given[name] = { value: text };
    }
    if (Object.keys(given).length === 0) return undefined;
    const unit = this.answerUnit;
    const done = evaluate(formula, given, { ...(this.solveFor === '' ? {} : { solveFor: this.solveFor }), ...(unit === undefined ? {} : { unit }) });
    // the names that the command line takes mean nothing here
    if (!done.ok) return { trouble: Object.keys(formula.inputs).reduce((says, name) => says.replaceAll(` (${name})`, ''), done.error.message).replace(' (output)', '') };
    const own = this.solveFor === '' && done.unit === done.form.output.unit;
    return { answer: formatQuantity(done.value, done.unit, own ? done.form.output.decimals : decimalsFor(done.value)), working: done.working, warnings: done.warnings };
  }
}

/** Four figures or so: what a person would write down of a value in a unit of their own choice. */
function decimalsFor(value: number): number {
  const size = Math.abs(value);
  return size >= 1000 ? 0 : size >= 100 ? 1 : size >= 1 || size === 0 ? 2 : 4;
}

/** Small letters, and VO₂ as vo2. */
const plain = (text: string): string => text.normalize('NFKD').replace(/[\u0300-\u036f]/g, '').toLowerCase();

const searchTexts = new Map<string, string>();
/** All that a formula can be found by: its names, what goes in, the equation and whose it is. */
function searchText(formula: Formula): string {
  const known = searchTexts.get(formula.id);
  if (known !== undefined) return known;
  const inputs = Object.values(formula.inputs).map((spec) => spec.label);
  const text = plain([formula.title, formula.id, formula.family, formula.output.label, formula.output.symbol, ...inputs, formula.equation, formula.population ?? '', formula.source.citation].join(' '));
  searchTexts.set(formula.id, text);
  return text;
}

/** Units for the answer, the usual one first: a fraction is asked for in per cent, as people speak of it. */
function answerUnitsOf(formula: Formula, solveFor: string): readonly AnswerUnit[] {
  const spec = solveFor === '' ? formula.output : formula.inputs[solveFor];
  if (!spec) return [];
  const codes = [spec.unit, ...(spec.alsoUnits ?? [])];
  const fraction = solveFor !== '' && spec.unit === '1' && codes.includes('%');
  return (fraction ? codes.toReversed() : codes).map((code) => ({ code, label: unitOf(code).label || 'a fraction' }));
}

/** The published range, a line for each limit of an input: "Speed, 50 to 100 m/min". Beyond it the formula warns, or refuses. */
function rangesOf(formula: Formula): readonly string[] {
  const inputs = [...new Set(formula.validity.map((limit) => limit.input))];
  return inputs.flatMap((input) => {
    const spec = input === 'output' ? formula.output : formula.inputs[input];
    const unit = spec ? unitOf(spec.unit).label : '';
    return [false, true].flatMap((refused) => {
      const limits = formula.validity.filter((limit) => limit.input === input && (limit.hard === true) === refused);
      const lows = limits.flatMap((limit) => limit.min ?? []);
      const highs = limits.flatMap((limit) => limit.max ?? []);
      if (lows.length + highs.length === 0) return [];
      const round = (value: number): number => Number(value.toFixed(2));
      const [low, high] = [lows.length === 0 ? undefined : round(Math.max(...lows)), highs.length === 0 ? undefined : round(Math.min(...highs))];
      const span = low !== undefined && high !== undefined ? `${low} to ${high}` : low !== undefined ? `at least ${low}` : `at most ${high}`;
      return [`${spec?.label ?? input}, ${span}${unit === '' ? '' : ` ${unit}`}; ${refused ? 'refused' : 'computed with a warning'} beyond it`];
    });
  });
}

function lineOf(name: string, spec: InputSpec): InputLine {
  const unit = unitOf(spec.unit).label;
  const also = (spec.alsoUnits ?? []).map((code) => unitOf(code).label).filter((label) => label !== '');
  const { min, max } = spec;
  const range = spec.choices ? '' : min !== undefined && max !== undefined ? `${min} to ${max}` : min !== undefined ? `at least ${min}` : max !== undefined ? `at most ${max}` : '';
  const own = unit === '' && also.length > 0 ? unitOf(spec.unit).name : unit;
  const units = also.length === 0 ? own : `${own} (also ${also.join(', ')})`;
  const allowed = [units, range].filter((text) => text !== '').join(', ');
  const hint = [allowed, spec.note ?? ''].filter((text) => text !== '').join('. ');
  const otherwise = spec.choices ? (spec.choices.find((choice) => choice.value === spec.default)?.label ?? '') : spec.default === undefined ? '' : String(spec.default);
  return { name, spec, hint, otherwise };
}
