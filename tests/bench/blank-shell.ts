/** The least that a loopback shell can be: one process that serves one blank page and says where. For the start-up benchmark. */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

const page = '<!doctype html><html lang="en"><title>Blank</title><main><button>Blank</button></main></html>';
const server = createServer((_request, response) => response.writeHead(200, { 'content-type': 'text/html; charset=utf-8' }).end(page));
server.listen(0, '127.0.0.1', () => process.stdout.write(`open http://127.0.0.1:${(server.address() as AddressInfo).port}/\n`));
process.on('SIGTERM', () => process.exit(0));
