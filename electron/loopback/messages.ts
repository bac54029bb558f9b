/** What the loopback shell's two processes say to each other. */
export type FromChild =
  | { readonly kind: 'ready'; /** Why there is no station behind the window, in words. */ readonly fault?: string }
  | { readonly kind: 'in-use' }
  | {
      readonly kind: 'needed';
      /** Tests and recoveries going on. */ readonly running: number;
      /** Windows that listen. */ readonly windows: number;
    };

export type ToChild =
  /**
   * Take the data folder and answer: at the door that comes with this message, else on this port, insisting, since a window
   * waits there. Until then the child only loads its code.
   */
  { readonly kind: 'go'; readonly port: number; readonly token: string } | { readonly kind: 'end' } | { readonly kind: 'needed?' };

/** The exit code by which a station's process asks to be started again. */
export const START_AGAIN = 75;
