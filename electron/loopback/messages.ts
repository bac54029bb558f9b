/** What the loopback shell's two processes say to each other. */
export type FromChild =
  | { readonly kind: 'ready'; readonly port: number; readonly token: string; /** Why there is no station behind the window, in words. */ readonly fault?: string }
  | { readonly kind: 'in-use' }
  | { readonly kind: 'needed'; /** Tests and recoveries going on. */ readonly running: number; /** Windows that listen. */ readonly windows: number };

export type ToChild = { readonly kind: 'end' } | { readonly kind: 'needed?' };
