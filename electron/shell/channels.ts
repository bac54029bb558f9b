/** The names under which preload and main process speak. No imports: the preload takes this file in whole. */
export const CALL = 'stagecall:call';
export const CONNECTED = 'stagecall:connected';
export const CHANGED = 'stagecall:changed';
