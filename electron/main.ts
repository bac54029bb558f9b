/** Entry of Electron's main process. Built to `dist/main.js`. */
import { runApplication } from './shell/application.ts';

// Not awaited: Electron is ready only after this file has been evaluated.
void runApplication(import.meta.dirname);
