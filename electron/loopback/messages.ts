/** What the loopback shell's two processes say to each other. */
export type FromChild =
  /** The server listens; what is asked of it waits until the station is open. */
  | { readonly kind: 'listening'; readonly port: number; readonly token: string }
  | { readonly kind: 'ready'; readonly port: number; readonly token: string; /** Why there is no station behind the window, in words. */ readonly fault?: string }
  | { readonly kind: 'in-use' }
  | { readonly kind: 'needed'; /** Tests and recoveries going on. */ readonly running: number; /** Windows that listen. */ readonly windows: number };

export type ToChild =
  /** Take the data folder and answer; on this port, insisting, where it is not 0. Until then the child only loads its code. */
  { readonly kind: 'go'; readonly port: number } | { readonly kind: 'end' } | { readonly kind: 'needed?' };
