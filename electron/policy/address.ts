/**
 * Which addresses are ours. Always by `new URL`, never by how a text begins.
 * For an own scheme the URL standard gives no origin ("null"), so scheme and host are compared.
 */
export const SCHEME = 'stagecall';
export const HOST = 'app';
export const WINDOW_ADDRESS = `${SCHEME}://${HOST}/`;

/** Whether an address is a part of our window. */
export function isOurs(address: string): boolean {
  try {
    const { protocol, host, username, password } = new URL(address);
    return protocol === `${SCHEME}:` && host === HOST && username === '' && password === '';
  } catch {
    return false;
  }
}

/** What the scheme may do. Electron's security checklist, item 18: an own scheme, standard and secure, instead of `file:`. */
export const schemePrivileges = {
  scheme: SCHEME,
  privileges: {
    standard: true,
    secure: true,
    supportFetchAPI: true,
    corsEnabled: false,
    bypassCSP: false,
    allowServiceWorkers: false,
    stream: true,
  },
} as const;
