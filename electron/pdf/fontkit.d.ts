/** The little of fontkit that is used; it comes without types. */
declare module 'fontkit' {
  export interface Font {
    readonly characterSet: readonly number[];
  }
  export function create(bytes: Uint8Array): Font;
}
