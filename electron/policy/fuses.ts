/**
 * Electron's security checklist, item 19: the switches to be flipped in a packaged program, all of them, strictly.
 * Flip them before signing. A journey through Playwright needs a variant with `EnableNodeCliInspectArguments` on.
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
