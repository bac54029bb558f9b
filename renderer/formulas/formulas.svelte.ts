/** The formula reference: every formula of the program, searched, and worked with values as one types them. */
import { evaluate, type GivenValue } from '../../core/formulas/evaluate.ts';
import { provenanceInWords, type Formula, type InputSpec } from '../../core/formulas/formula.ts';
import { formulas } from '../../core/formulas/registry.ts';
import { formatQuantity, unitOf } from '../../core/units/units.ts';

export interface InputLine {
  readonly name: string;
  readonly spec: InputSpec;
  /** "L/min (also mL/min)". */
  readonly units: string;
  readonly range: string;
}

export class FormulaPage {
  search = $state('');
  #chosen = $state<string | undefined>(undefined);
  /** Typed values, by formula and input. */
  #typed = $state<Record<string, string>>({});
  /** Input that is solved for, by formula; empty: the output. */
  #solveFor = $state<Record<string, string>>({});

  readonly found = $derived.by(() => {
    const words = this.search.toLowerCase().split(/\s+/).filter((word) => word !== '');
    return formulas.filter((formula) => {
      const text = `${formula.title} ${formula.id} ${formula.family} ${formula.output.label} ${formula.source.citation}`.toLowerCase();
      return words.every((word) => text.includes(word));
    });
  });
  readonly families = $derived([...new Set(this.found.map((formula) => formula.family))].map((family) => ({ family, formulas: this.found.filter((formula) => formula.family === family) })));
  readonly current = $derived(this.found.find((formula) => formula.id === this.#chosen) ?? this.found[0]);
  readonly solveFor = $derived(this.current === undefined ? '' : (this.#solveFor[this.current.id] ?? ''));
  readonly solvable = $derived(Object.keys(this.current?.solve ?? {}));
  readonly inputs = $derived.by((): readonly InputLine[] => {
    const { current, solveFor } = this;
    if (!current) return [];
    const specs = Object.entries(current.inputs).filter(([name]) => name !== solveFor);
    const output: readonly (readonly [string, InputSpec])[] = solveFor === '' ? [] : [['output', { label: current.output.label, symbol: current.output.symbol, unit: current.output.unit }]];
    return [...output, ...specs].map(([name, spec]) => lineOf(name, spec));
  });
  readonly result = $derived.by(() => (this.current ? this.#work(this.current) : undefined));
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
    const done = evaluate(formula, given, this.solveFor === '' ? {} : { solveFor: this.solveFor });
    if (!done.ok) return { trouble: done.error.message };
    const decimals = this.solveFor === '' ? done.form.output.decimals : 2;
    return { answer: formatQuantity(done.value, done.unit, decimals), working: done.working, warnings: done.warnings };
  }
}

/** The published range, one line an input: "Speed, 50 to 100 m/min". Beyond it the formula warns, or refuses. */
function rangesOf(formula: Formula): readonly string[] {
  const inputs = [...new Set(formula.validity.map((limit) => limit.input))];
  return inputs.map((input) => {
    const limits = formula.validity.filter((limit) => limit.input === input);
    const spec = input === 'output' ? formula.output : formula.inputs[input];
    const lows = limits.flatMap((limit) => limit.min ?? []);
    const highs = limits.flatMap((limit) => limit.max ?? []);
    const [low, high] = [lows.length === 0 ? undefined : Math.max(...lows), highs.length === 0 ? undefined : Math.min(...highs)];
    const span = low !== undefined && high !== undefined ? `${low} to ${high}` : low !== undefined ? `at least ${low}` : `at most ${high}`;
    const unit = spec ? unitOf(spec.unit).label : '';
    return `${spec?.label ?? input}, ${span}${unit === '' ? '' : ` ${unit}`}${limits.some((limit) => limit.hard) ? '; refused beyond it' : ''}`;
  });
}

function lineOf(name: string, spec: InputSpec): InputLine {
  const unit = unitOf(spec.unit).label;
  const also = (spec.alsoUnits ?? []).map((code) => unitOf(code).label).filter((label) => label !== '');
  const range = spec.choices
    ? spec.choices.map((choice) => choice.label).join(' or ')
    : spec.min !== undefined && spec.max !== undefined
      ? `${spec.min} to ${spec.max}`
      : spec.min === undefined
        ? spec.max === undefined
          ? ''
          : `at most ${spec.max}`
        : `at least ${spec.min}`;
  return { name, spec, units: also.length === 0 ? unit : `${unit} (also ${also.join(', ')})`, range };
}
