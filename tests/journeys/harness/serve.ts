/** Serves the harness page while a test runs. */
import path from 'node:path';
import { svelte, vitePreprocess } from '@sveltejs/vite-plugin-svelte';
import { createServer, type ViteDevServer } from 'vite';

const root = path.resolve(import.meta.dirname, '../../..');

export async function serveHarness(): Promise<{ readonly address: string; readonly close: () => Promise<void> }> {
  const server: ViteDevServer = await createServer({
    configFile: false,
    root,
    logLevel: 'error',
    cacheDir: path.join(root, 'dist', 'harness-cache'),
    plugins: [svelte({ configFile: false, preprocess: vitePreprocess({ script: false }) })],
    server: { host: '127.0.0.1', port: 0, hmr: false, watch: null },
    optimizeDeps: { include: ['chart.js', 'chartjs-plugin-annotation', 'zod', 'yaml'] },
  });
  await server.listen();
  const address = server.resolvedUrls?.local[0];
  if (!address) throw new Error('the harness has no address');
  return { address: `${address}tests/journeys/harness/index.html`, close: () => server.close() };
}
