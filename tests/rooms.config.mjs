/**
 * Which room may import what (DEVELOPERS.md has the map). `tests/shells/rooms.test.ts` proves each rule with an import
 * that must fail and one that must pass.
 *
 * Type-only imports count: a type from another room is knowledge of it all the same.
 */

/** Packages that compute and touch nothing: no disk, no window, no clock. */
const purePackages = ['zod', 'yaml', '@noble/hashes', 'simple-statistics', '@stdlib/[^/]+', 'papaparse', '@types/papaparse'];
const windowPackages = ['svelte', 'chart.js', 'chartjs-plugin-annotation', 'bits-ui', '@fontsource/[^/]+'];

/** @param {string[]} packages */
const installed = (packages) => `(^|/)node_modules/(${packages.join('|')})/`;

/** @type {import('dependency-cruiser').IConfiguration} */
export default {
  forbidden: [
    {
      name: 'core-stands-alone',
      comment:
        'core/ is pure, so that the same code runs in every shell and every test. Hand in what it needs from outside as an argument, or move the code.',
      severity: 'error',
      from: { path: '^core/' },
      to: { pathNot: ['^core/', installed(purePackages)] },
    },
    {
      name: 'renderer-knows-core-only',
      comment:
        'renderer/ does not know which shell it is in. What it needs from the system goes through its api module and the contract in core/.',
      severity: 'error',
      from: { path: '^renderer/', pathNot: '^renderer/vite\\.config\\.ts$' },
      to: { pathNot: ['^renderer/', '^core/', installed(windowPackages)] },
    },
    {
      name: 'electron-knows-core-only',
      comment: 'electron/ serves any window that speaks the contract. What both need belongs in core/.',
      severity: 'error',
      from: { path: '^electron/' },
      to: { path: '^(renderer|tests|lab-sheets)/' },
    },
    {
      name: 'electron-stays-in-its-room',
      comment: 'Only electron/ may import Electron; everything else must run without it.',
      severity: 'error',
      from: { pathNot: ['^electron/', '(^|/)node_modules/'] },
      to: { path: ['(^|/)node_modules/electron/', '^electron$'] },
    },
    {
      name: 'database-stays-in-the-store',
      comment:
        'The native addon is loaded in electron/store/ alone, after the check of the Node version (tests may open a database to damage it).',
      severity: 'error',
      from: { pathNot: ['^electron/store/', '^tests/', '(^|/)node_modules/'] },
      to: { path: '(^|/)node_modules/(@types/)?better-sqlite3/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      conditionNames: ['svelte', 'import', 'default', 'types'],
      exportsFields: ['exports'],
      mainFields: ['module', 'main', 'types'],
    },
    builtInModules: { override: [], add: ['electron'] },
  },
};
