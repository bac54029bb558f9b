/** The instructor's commands of the station in memory: passphrase (no hash, no wait, the same answers) and profile. */
import type { Handlers } from '../../core/contract/contract.ts';
import { loadProfile, profileProblemText } from '../../core/profile/load.ts';
import type { ProfileAnswer } from '../../core/contract/profile.ts';
import { failure, success } from '../../core/result.ts';

export function fakePassphrase(): Pick<Handlers, 'passphrase.status' | 'passphrase.set' | 'passphrase.check'> {
  let kept: string | undefined;
  const wrong = failure('passphrase-wrong', 'That is not the instructor’s passphrase of this station. Nothing was changed.');
  return {
    'passphrase.status': async () => success({ set: kept !== undefined, waitSeconds: 0 }),
    'passphrase.set': async ({ passphrase, old }) => {
      if (passphrase !== null && passphrase.trim().length < 8) return failure('passphrase-short', 'Nothing was changed: the passphrase needs at least 8 characters.');
      if (kept !== undefined && old !== kept) return wrong;
      kept = passphrase ?? undefined;
      return success({ set: kept !== undefined, waitSeconds: 0 });
    },
    'passphrase.check': async ({ passphrase }) => {
      if (kept === undefined) return success({});
      return passphrase === kept ? success({ unlock: 'proof-of-the-fake' }) : wrong;
    },
  };
}

export function fakeProfile(changed: () => void): Pick<Handlers, 'profile.read' | 'profile.save'> {
  let answer: ProfileAnswer = { text: '', problems: [] };
  return {
    'profile.read': async () => success(answer),
    'profile.save': async ({ text }) => {
      const loaded = text.trim() === '' ? undefined : loadProfile(text);
      if (loaded?.ok === false) return failure('profile-invalid', 'Not saved: the profile has a fault.', loaded.problems.map(profileProblemText));
      answer = { text, problems: [], ...(loaded ? { profile: loaded.profile } : {}) };
      changed();
      return success(answer);
    },
  };
}
