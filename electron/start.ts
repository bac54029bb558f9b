/** `npm start`. Compiled code is kept between starts, which is why everything else is loaded after that has been said. */
import { enableCompileCache } from 'node:module';
import path from 'node:path';
import { programRoot } from './program-root.ts';

enableCompileCache(process.env['NODE_COMPILE_CACHE'] ?? path.join(programRoot, 'node_modules', '.cache', 'compile'));
const { start } = await import('./start-program.ts');
process.exitCode = await start(process.argv.slice(2));
