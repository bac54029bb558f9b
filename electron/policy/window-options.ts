/** How each window is made, as data, so that a test can hold it to Electron's security checklist. */
import type { BrowserWindowConstructorOptions } from 'electron';

/** @param preload path of the built preload. */
export function windowOptions(preload: string): BrowserWindowConstructorOptions {
  return {
    title: 'Stagecall',
    width: 1366,
    height: 768,
    minWidth: 1000,
    minHeight: 600,
    show: false,
    webPreferences: {
      preload,
      // Items 2 to 4: the page gets no Node, no shared world, and the system's sandbox.
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      contextIsolation: true,
      sandbox: true,
      // Items 6, 8 to 11: nothing of the web's own guard is switched off, nothing experimental on, no foreign views.
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      webviewTag: false,
      navigateOnDragDrop: false,
      spellcheck: false,
      // A covered window must go on counting and calling.
      backgroundThrottling: false,
    },
  };
}
