/** The little of Web Bluetooth that the strap needs. TypeScript's own DOM library does not have it. */
export interface StrapCharacteristic extends EventTarget {
  readonly value?: DataView;
  startNotifications(): Promise<unknown>;
}
export interface StrapDevice extends EventTarget {
  readonly id: string;
  readonly name?: string;
  readonly gatt?: {
    readonly connected: boolean;
    connect(): Promise<{ getPrimaryService(service: number): Promise<{ getCharacteristic(characteristic: number): Promise<StrapCharacteristic> }> }>;
    disconnect(): void;
  };
}
export interface Bluetooth {
  requestDevice(wanted: { readonly filters: readonly { readonly services: readonly number[] }[] }): Promise<StrapDevice>;
  /** Devices that this page was given before; not in every browser. */
  getDevices?(): Promise<readonly StrapDevice[]>;
}

/** Undefined where the browser has no Bluetooth for pages, or has it switched off. */
export function bluetoothOf(navigator: Navigator): Bluetooth | undefined {
  return (navigator as { readonly bluetooth?: Bluetooth }).bluetooth;
}
