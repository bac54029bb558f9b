/** Which Node the database addon loads in. Asked before the addon is touched: in an older Node it crashes without a message. */
import { failure, success, type Result } from '../../core/result.ts';

/**
 * The addon is built against Node-API 10, which came with Node 22.14 and 23.6. (`first-run/node.mjs` asks the same before
 * anything is installed; a test holds the two together.)
 * @param version as `process.versions.node`: `22.14.0`
 */
export function checkNodeVersion(version: string): Result<void> {
  const [major = 0, minor = 0] = version.replace(/^v/, '').split('.').map(Number);
  const newEnough = major >= 24 || (major === 23 && minor >= 6) || (major === 22 && minor >= 14);
  if (newEnough) return success(undefined);
  return failure(
    'node-too-old',
    `The record cannot be opened with Node ${version}: it needs Node 24 (at least 22.14). Nothing was changed. Start the program with "npm start", which brings the right Node.`,
  );
}
