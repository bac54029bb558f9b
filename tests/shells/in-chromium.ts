/** A real page in a real Chromium, with the window's own api module, driven from a test as one more `StationApi`. */
import { chromium, type Browser, type Page } from '@playwright/test';
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { build } from 'vite';
import type { RecordChange, StationApi } from '../../core/contract/contract.ts';
import { findBrowser } from '../../electron/find-browser.ts';

/** Builds the bare window into a folder as the program's own window is built: `index.html` and `assets/`. */
export async function buildBareWindow(folder: string): Promise<void> {
  mkdirSync(path.join(folder, 'assets'), { recursive: true });
  writeFileSync(
    path.join(folder, 'index.html'),
    '<!doctype html><html lang="en"><title>Stagecall</title><script type="module" src="./assets/window.js"></script></html>',
  );
  await build({
    configFile: false,
    logLevel: 'warn',
    build: {
      outDir: path.join(folder, 'assets'),
      emptyOutDir: false,
      target: 'es2023',
      minify: false,
      lib: { entry: path.join(import.meta.dirname, 'bare-window.ts'), formats: ['es'], fileName: () => 'window.js' },
    },
  });
}

export async function launchChromium(): Promise<Browser> {
  const executablePath = findBrowser();
  return chromium.launch({
    ...(executablePath === undefined ? {} : { executablePath }),
    args: process.getuid?.() === 0 ? ['--no-sandbox'] : [],
  });
}

/** What the page's content policy stopped, and what it threw. */
export function watchPage(page: Page): readonly string[] {
  const faults: string[] = [];
  page.on('pageerror', (cause) => faults.push(cause.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && /Content Security Policy|Refused to/.test(message.text())) faults.push(message.text());
  });
  return faults;
}

/** The page's `StationApi`, for a test in Node. Changes are collected in the page and fetched every 20 ms. */
export async function apiOfPage(page: Page): Promise<{ readonly api: StationApi; end(): void }> {
  type Bare = {
    start(): Promise<void>;
    call(name: string, input: unknown): Promise<never>;
    subscribe(): Promise<void>;
    heard(): { changes: RecordChange[]; states: boolean[] };
  };
  await page.waitForFunction(() => 'start' in globalThis);
  await page.evaluate(() => (globalThis as unknown as Bare).start());
  const listeners = new Set<Parameters<StationApi['subscribe']>[0]>();
  let last: boolean | undefined;
  let subscribed: Promise<unknown> | undefined;
  const ending = new AbortController();
  const fetchHeard = async (): Promise<void> => {
    while (!ending.signal.aborted) {
      const { changes, states } = await page
        .evaluate(() => (globalThis as unknown as Bare).heard())
        .catch(() => ({ changes: [], states: [] }));
      for (const state of states) {
        last = state;
        for (const listener of listeners) listener.connected(state);
      }
      for (const change of changes) for (const listener of listeners) listener.changed(change);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };
  const api: StationApi = {
    call: (name, input) =>
      page.evaluate(([asked, given]) => (globalThis as unknown as Bare).call(asked as string, given), [name, input] as const),
    subscribe(listener) {
      listeners.add(listener);
      if (last !== undefined) listener.connected(last);
      subscribed ??= page.evaluate(() => (globalThis as unknown as Bare).subscribe().then(() => undefined)).then(fetchHeard);
      return () => listeners.delete(listener);
    },
  };
  return { api, end: () => ending.abort() };
}

export type { Browser, Page };
