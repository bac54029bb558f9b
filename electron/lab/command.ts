/** Finds the verb, reads its options, and turns whatever goes wrong into one line and an exit code. */
import { parseArgs, type ParseArgsConfig } from 'node:util';
import { listed, oneOf } from '../../core/sheet/nearest.ts';
import { blankVerb } from './blank.ts';
import { checkVerb } from './check.ts';
import { dataVerb } from './data.ts';
import { formulaVerb } from './formula.ts';
import { LabError, type Terminal, type Verb } from './lab-error.ts';
import { markVerb } from './mark.ts';
import { replayVerb } from './replay.ts';

const verbs: Readonly<Record<string, Verb>> = { replay: replayVerb, mark: markVerb, check: checkVerb, blank: blankVerb, data: dataVerb, formula: formulaVerb };

const overview = `Usage: npm run -s lab -- VERB …

${Object.entries(verbs)
  .map(([name, verb]) => `  ${name.padEnd(8)} ${verb.summary}`)
  .join('\n')}

"npm run -s lab -- VERB --help" says more about each. A LAB-SHEET is a file, or the id of a sheet in lab-sheets/.
`;

/** Exit codes: 0 done; 1 the input is wrong or something could not be done; 2 the command was not understood. */
export async function labCommand(args: readonly string[], terminal: Terminal): Promise<number> {
  const [name = '', ...rest] = args;
  if (name === '' || name === '--help' || name === '-h' || name === 'help') {
    const asked = verbs[rest[0] ?? ''];
    terminal.out(name === 'help' && asked ? asked.help : overview);
    return name === '' ? 2 : 0;
  }
  const verb = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (!verb) {
    terminal.say(`there is no verb "${name}"; ${oneOf(name, Object.keys(verbs))}`);
    return 2;
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    terminal.out(verb.help);
    return 0;
  }
  try {
    const { values, positionals } = readArguments(name, verb, rest);
    return await verb.run({ options: values, operands: positionals, terminal });
  } catch (cause) {
    if (!(cause instanceof LabError)) throw cause;
    terminal.say(cause.message);
    return cause.exitCode;
  }
}

function readArguments(name: string, verb: Verb, args: readonly string[]): { values: Record<string, string | boolean | undefined>; positionals: string[] } {
  try {
    const { values, positionals } = parseArgs({ args: [...args], options: { ...verb.options } as NonNullable<ParseArgsConfig['options']>, allowPositionals: true, strict: true });
    return { values: values as Record<string, string | boolean | undefined>, positionals };
  } catch (cause) {
    const unknown = /Unknown option '(--?[^']*)'/.exec((cause as Error).message)?.[1];
    const known = Object.keys(verb.options).map((option) => `--${option}`);
    if (unknown !== undefined) throw new LabError(`${name} has no option ${unknown}; its options are ${listed(known, 'and')}`, 2);
    throw new LabError(`${name}: ${(cause as Error).message.split('. ')[0]}; see: npm run -s lab -- ${name} --help`, 2);
  }
}
