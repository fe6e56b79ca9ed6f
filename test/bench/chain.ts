import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** How the chain calms texture before its threshold. */
export type Blur = 'blur' | 'gaussian-blur';

/** The shell commands of the chain: a general-purpose image tool, then the tracer in C. */
export interface Chain {
  command(blur: Blur, picture: string, svg: string): string;
  readonly versions: string;
}

/** Debian's own first: another program on the path may stand in for it. */
const CONVERTERS = ['/usr/bin/convert', 'magick', 'convert'];

/**
 * The chain to compare with: decode, grey, resize, blur, threshold, trace to SVG. It makes no bridges, no checks and
 * no PDF. Installed where that can be done (root on Debian).
 *
 * @returns undefined when it is not there; what to install is then printed
 */
export function findChain(): Chain | undefined {
  return found() ?? (install() ? found() : undefined);
}

function found(): Chain | undefined {
  const converter = CONVERTERS.find((program) =>
    version(program, '-version').includes('ImageMagick'),
  );
  const tracer = version('potrace', '-v');
  if (converter === undefined || tracer === '') return undefined;
  return {
    versions: `${/ImageMagick \S+/.exec(version(converter, '-version'))?.[0] ?? converter}, ${tracer.split('.  ')[0].split('. ')[0]}`,
    command: (blur, picture, svg) =>
      `'${converter}' '${picture}' -auto-orient -colorspace Gray -resize 1016x1016 -${blur} 0x4 -threshold 50% pbm:- | potrace -s -o '${svg}' -`,
  };
}

function version(program: string, option: string): string {
  const { stdout, status } = spawnSync(program, [option], { encoding: 'utf8' });
  return status === 0 ? stdout : '';
}

function install(): boolean {
  const debian = existsSync('/etc/debian_version');
  if (debian && process.getuid?.() === 0) {
    console.log('Installing imagemagick and potrace to compare with …');
    const script =
      'apt-get -qq update && DEBIAN_FRONTEND=noninteractive apt-get -qq install -y imagemagick potrace';
    return spawnSync('sh', ['-c', script], { stdio: ['ignore', 'ignore', 'inherit'] }).status === 0;
  }
  console.log(
    `To compare with the chain, install imagemagick and potrace (${debian ? 'apt-get install imagemagick potrace' : 'brew install imagemagick potrace, or your own package manager'}).`,
  );
  return false;
}
