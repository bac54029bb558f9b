/**
 * What every answer with a part of the window carries. Both shells use it.
 * Electron's security checklist, item 7: a content security policy, as a header, from `default-src 'none'`.
 */

/** Script and style from our own files alone, nothing inline, nothing from anywhere else, in no other page's frame. */
export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  // data: and blob: for figures that the window draws itself
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

export const windowHeaders: Readonly<Record<string, string>> = {
  'content-security-policy': contentSecurityPolicy,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  // Bluetooth (for the strap) and the wake lock are the page’s own by default; not every Chromium knows the first by name here.
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=(), payment=(), display-capture=()',
};
