/** Two hundred kills of the station's process at random moments of all phases, two windows entering: see tests/store/kills.ts. */
import { killLine, killRun } from '../store/kills.ts';

const KILLS = Number(process.env['STAGECALL_KILLS'] ?? 200);

export async function run(): Promise<void> {
  console.log(`  ${killLine(await killRun(KILLS))}`);
}
