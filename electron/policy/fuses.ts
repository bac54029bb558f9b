/**
 * Electron's security checklist, item 19: the switches to be flipped in a packaged program, all of them, strictly.
 * Flip them before signing. With `RunAsNode` off the desk's marking processes (`desk/pool.ts`), which are forked, have to be
 * started by the main process as utility processes instead; until a package is made, nothing is flipped. A journey through Playwright needs a variant with `EnableNodeCliInspectArguments` on.
 */
export const fuses = {
  RunAsNode: false,
  EnableCookieEncryption: true,
  EnableNodeOptionsEnvironmentVariable: false,
  EnableNodeCliInspectArguments: false,
  EnableEmbeddedAsarIntegrityValidation: true,
  OnlyLoadAppFromAsar: true,
  LoadBrowserProcessSpecificV8Snapshot: false,
  GrantFileProtocolExtraPrivileges: false,
  WasmTrapHandlers: true,
} as const;
