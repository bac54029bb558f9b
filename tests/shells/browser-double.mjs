#!/usr/bin/env node
// Stands in for an installed browser: writes down how it was started, and stays open until it is closed (its own process killed).
import { appendFileSync } from 'node:fs';

process.on('SIGUSR2', () => process.exit(0));
appendFileSync(process.env['BROWSER_DOUBLE_LOG'] ?? '', `${JSON.stringify({ pid: process.pid, args: process.argv.slice(2) })}\n`);
if (process.env['BROWSER_DOUBLE_FAILS'] === 'yes') process.exit(1);
setInterval(() => {}, 1_000);
