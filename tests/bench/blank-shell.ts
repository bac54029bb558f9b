/** The least that a loopback shell can be: one process that serves one blank page and opens the browser on it as the program does. */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { findBrowser } from '../../electron/find-browser.ts';
import { openBrowserWindow } from '../../electron/loopback/browser-window.ts';

const [profile = ''] = process.argv.slice(2);
const page = '<!doctype html><html lang="en"><title>Blank</title><main><button>Blank</button></main></html>';
const server = createServer((_request, response) => response.writeHead(200, { 'content-type': 'text/html; charset=utf-8' }).end(page));
server.listen(0, '127.0.0.1', () => {
  const window = openBrowserWindow(findBrowser() ?? '', `http://127.0.0.1:${(server.address() as AddressInfo).port}/`, profile);
  process.on('SIGTERM', () => {
    window.close();
    process.exit(0);
  });
});
