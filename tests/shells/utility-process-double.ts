/** Runs a file as Electron's `utilityProcess` would: with `process.parentPort`, and its own arguments. */
import { EventEmitter } from 'node:events';
import { pathToFileURL } from 'node:url';

const [node = '', , file = '', ...args] = process.argv;
process.argv = [node, file, ...args];
const port = Object.assign(new EventEmitter(), { postMessage: (message: unknown) => void process.send?.(message) });
process.on('message', (data) => port.emit('message', { data }));
process.on('disconnect', () => process.exit(0));
Object.assign(process, { parentPort: port });
await import(pathToFileURL(file).href);
