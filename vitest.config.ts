import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  // The plugin compiles `.svelte.ts` state classes, which the renderer's tests import.
  plugins: [svelte({ configFile: false })],
  test: {
    environment: 'node',
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/journeys/**', 'node_modules/**'],
    // One time zone for everyone, so that a printed date is the same on every machine.
    env: { TZ: 'UTC' },
    testTimeout: 15_000,
  },
});
