/**
 * News of the station itself (a notice, another profile) goes to every window by the stream of record changes, under this
 * name, which no record has. A window that hears it asks `station.about` and `profile.read` again.
 */
export const STATION_NEWS = 'station';
