#!/usr/bin/env node
// Stands between the program and the installed browser: the same browser with the same arguments, without a screen, and
// with a door for the benchmark to look through.
import { spawn } from 'node:child_process';

const browser = spawn(process.env['BENCH_BROWSER'] ?? '', ['--headless=new', '--remote-debugging-port=0', ...process.argv.slice(2)], {
  stdio: 'ignore',
});
process.on('SIGTERM', () => browser.kill('SIGTERM'));
browser.once('exit', (code) => process.exit(code ?? 0));
