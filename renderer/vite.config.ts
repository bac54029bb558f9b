/** How the window is built: `renderer/index.html` and what it imports, into `dist/renderer`. */
import { svelte, vitePreprocess } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
  root: import.meta.dirname,
  // Relative addresses, since one shell serves the window from its own scheme and the other from a local port.
  base: './',
  plugins: [svelte({ configFile: false, preprocess: vitePreprocess({ script: false }) })],
  build: {
    outDir: '../dist/renderer',
    emptyOutDir: true,
    // The window only ever runs in the Chromium of the pinned Electron or in a current browser.
    target: 'es2023',
    // The content policy allows no `data:` fonts or pictures, so nothing is inlined.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
});
