/**
 * The journeys: whole pieces of work in a real browser. `npm test` runs them with all the rest; one alone:
 * `npx playwright test -c tests/journeys/playwright.config.ts NAME`.
 */
import { defineConfig } from '@playwright/test';
import { findBrowser } from '../../electron/find-browser.ts';

const browser = findBrowser();

export default defineConfig({
  testDir: '.',
  testMatch: /\.(journey|spec)\.ts$/,
  outputDir: '../../dist/journeys',
  // A station owns its data folder and a port; and two cores are all that there may be.
  workers: 1,
  // A flake is a fault to be found, not to be tried again.
  retries: 0,
  forbidOnly: process.env['CI'] !== undefined,
  timeout: 90_000,
  reporter: 'list',
  use: {
    // A usual laptop of the teaching laboratory.
    viewport: { width: 1366, height: 768 },
    locale: 'en-GB',
    timezoneId: 'UTC',
    screenshot: 'only-on-failure',
    trace: 'retain-on-failure',
    launchOptions: {
      // Without one, Playwright looks for its own.
      ...(browser ? { executablePath: browser } : {}),
      // Chromium's sandbox does not start for root, as whom CI runs.
      args: process.getuid?.() === 0 ? ['--no-sandbox'] : [],
    },
  },
});
