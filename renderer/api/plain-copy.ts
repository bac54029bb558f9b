/** A copy as plain data: what is sent must not change under way, and reactive proxies do not cross a border. */
export function plainCopy<Value>(value: Value): Value {
  return JSON.parse(JSON.stringify(value)) as Value;
}
