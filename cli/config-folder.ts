import { homedir } from 'node:os';
import { isAbsolute, join } from 'node:path';

const PROGRAM = 'stencilwright';

/**
 * The folder for what a person set up for this program: on macOS in her Library (Apple, File System Programming
 * Guide), else where the XDG Base Directory Specification 0.8 has it: below XDG_CONFIG_HOME, which counts on every
 * system when it is set to an absolute path, or else below ~/.config.
 */
export function configFolder(
  environment: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
  home: string = homedir(),
): string {
  const given = environment.XDG_CONFIG_HOME;
  if (given !== undefined && isAbsolute(given)) return join(given, PROGRAM);
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', PROGRAM);
  return join(home, '.config', PROGRAM);
}
