/**
 * The command line: the whole job without a window. `npm run -s lab -- <verb>`
 *
 * Results go to stdout, everything said to the person to stderr. Bad input gives one message with file, line and remedy,
 * and an exit code that is not 0.
 */
import { labCommand } from './lab/command.ts';

// A reader that has seen enough (`| head`) is no fault of ours.
process.stdout.on('error', (cause: NodeJS.ErrnoException) => {
  if (cause.code === 'EPIPE') process.exit(0);
  throw cause;
});
process.exitCode = await labCommand(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  say: (line) => process.stderr.write(`stagecall: ${line}\n`),
  // npm runs scripts at the top of the checkout; paths are meant from where the person stands.
  folder: process.env['INIT_CWD'] ?? process.cwd(),
  isTerminal: process.stderr.isTTY,
});
