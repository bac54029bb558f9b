/**
 * A heart-rate strap in Chromium's own Bluetooth emulation: the adapter, the chooser, the connection, the subscription and the
 * drop-out are Chromium's. Its emulation cannot send a notification by itself; a read that the test asks for raises the same
 * `characteristicvaluechanged` on the same characteristic, with the bytes that the test answers it with.
 */
import type { Browser, CDPSession, Page } from '@playwright/test';

const uuid = (short: string): string => `0000${short}-0000-1000-8000-00805f9b34fb`;
const ADDRESS = '09:09:09:09:09:09';

export interface EmulatedStrap {
  /** Sends one packet, written as hex bytes. */
  packet(hex: string): Promise<void>;
  /** Out of reach: the connection breaks, and is refused until `comeBack`. */
  dropOut(): Promise<void>;
  comeBack(): void;
  /** How often it was connected to. */
  readonly connections: () => number;
}

/** Must be called before the page loads. The first strap that the page's prompt lists is chosen. */
export async function emulateStrap(browser: Browser, page: Page): Promise<EmulatedStrap> {
  const bluetooth = await browser.newBrowserCDPSession();
  let connections = 0;
  let isAway = false;
  const pending: string[] = [];
  await bluetooth.send('BluetoothEmulation.enable', { state: 'powered-on', leSupported: true });
  await bluetooth.send('BluetoothEmulation.simulatePreconnectedPeripheral', { address: ADDRESS, name: 'HR strap', manufacturerData: [], knownServiceUuids: [uuid('180d')] });
  bluetooth.on('BluetoothEmulation.gattOperationReceived', async ({ address, type }) => {
    if (type === 'connection' && !isAway) connections += 1;
    if (type === 'discovery') await addHeartRate(bluetooth);
    // 0x3E of the core specification: the connection could not be established.
    await bluetooth.send('BluetoothEmulation.simulateGATTOperationResponse', { address, type, code: type === 'connection' && isAway ? 0x3e : 0 });
  });
  bluetooth.on('BluetoothEmulation.characteristicOperationReceived', async ({ characteristicId: id, type }) => {
    const data = type === 'read' ? { data: Buffer.from((pending.shift() ?? '').replaceAll(' ', ''), 'hex').toString('base64') } : {};
    await bluetooth.send('BluetoothEmulation.simulateCharacteristicOperationResponse', { characteristicId: id, type: type as 'read', code: 0, ...data });
  });
  const access = await page.context().newCDPSession(page);
  await access.send('DeviceAccess.enable');
  // The prompt tells itself again whenever its list changes; it is answered once.
  access.once('DeviceAccess.deviceRequestPrompted', ({ id, devices }) => void access.send('DeviceAccess.selectPrompt', { id, deviceId: devices[0]?.id ?? '' }));
  await page.addInitScript(() => {
    type Held = { characteristic?: unknown };
    const service = (globalThis as unknown as { BluetoothRemoteGATTService: { prototype: { getCharacteristic(name: unknown): Promise<unknown> } } }).BluetoothRemoteGATTService.prototype;
    const get = service.getCharacteristic;
    service.getCharacteristic = async function (name) {
      return ((globalThis as Held).characteristic = await get.call(this, name));
    };
  });
  return {
    async packet(hex) {
      pending.push(hex);
      await page.evaluate(() => (globalThis as unknown as { characteristic: { readValue(): Promise<unknown> } }).characteristic.readValue().then(() => undefined));
    },
    async dropOut() {
      isAway = true;
      await bluetooth.send('BluetoothEmulation.simulateGATTDisconnection', { address: ADDRESS });
    },
    comeBack: () => (isAway = false),
    connections: () => connections,
  };
}

/** A strap that was away has lost what was discovered of it. */
async function addHeartRate(bluetooth: CDPSession): Promise<void> {
  const { serviceId } = await bluetooth.send('BluetoothEmulation.addService', { address: ADDRESS, serviceUuid: uuid('180d') });
  const { characteristicId } = await bluetooth.send('BluetoothEmulation.addCharacteristic', { serviceId, characteristicUuid: uuid('2a37'), properties: { notify: true, read: true } });
  await bluetooth.send('BluetoothEmulation.addDescriptor', { characteristicId, descriptorUuid: uuid('2902') });
}
