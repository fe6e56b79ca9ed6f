import { visible } from '../../settings/words/visible.js';
import { codePointInWords, shownName } from '../pdf/names.js';

/** Text as HTML: what would be markup is written out. */
export function escapeHtml(text: string): string {
  return visible(text).replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}

/**
 * A picture's file name, or its way from a folder, as HTML: in its own direction, with what can't be seen shown by its
 * code point, and with a tag where another name could be mistaken for it (see `shownName`).
 */
export function pictureHtml(picture: string): string {
  const folders = picture.split('/');
  const file = folders.pop() ?? '';
  const ending = /.(\.[A-Za-z0-9]+)$/.exec(file)?.at(1) ?? '';
  const name = file.slice(0, file.length - ending.length);
  return [...folders, name].map(nameHtml).join('/') + ending;
}

function nameHtml(name: string): string {
  const { parts, tag } = shownName(name);
  const shown = parts.map((part) =>
    part.kind === 'text'
      ? escapeHtml(part.text)
      : label(part.codePoint === 0x20 ? 'space' : codePointInWords(part.codePoint)),
  );
  const isLatin = tag === undefined && /^[\x20-\x7e]*$/.test(name) && parts.length < 2;
  return isLatin
    ? escapeHtml(name)
    : `<bdi>${shown.join('')}</bdi>${tag === undefined ? '' : label(tag)}`;
}

const label = (text: string): string => `<span class="label">${text}</span>`;

/** A relative address of a file by its way from the page, with slashes. */
export function addressOf(...way: readonly string[]): string {
  return escapeHtml(
    way
      .flatMap((part) => part.split('/'))
      .map(encodeURIComponent)
      .join('/'),
  );
}

/** A picture inside a page: RFC 2397. */
export function pictureAddress(bytes: Uint8Array, kind: 'png' | 'webp'): string {
  return `data:image/${kind};base64,${Buffer.from(bytes).toString('base64')}`;
}

/**
 * A page that stands by itself: nothing is loaded from elsewhere, nothing runs in it.
 *
 * @param title plain text
 * @param style CSS of its own, after what all pages share
 * @param body HTML
 */
export function pageHtml(title: string, style: string, body: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>${escapeHtml(title)}</title>
<style>
${SHARED_STYLE}${style}</style>
</head>
<body>
${body}
</body>
</html>
`;
}

const SHARED_STYLE = `:root {
  color-scheme: light dark;
  --ground: #f7f4ee;
  --leaf: #fffdf9;
  --ink: #23282b;
  --soft: #62696c;
  --line: #ddd6c9;
  --good: #2c6b4f;
  --look: #8a5a00;
  --bad: #9c2f2f;
}
@media (prefers-color-scheme: dark) {
  :root {
    --ground: #1b1e20;
    --leaf: #24282b;
    --ink: #ece8e0;
    --soft: #a9aca8;
    --line: #3a4043;
    --good: #86cfae;
    --look: #e5b866;
    --bad: #f0a0a0;
  }
}
* { box-sizing: border-box; }
body {
  margin: 0 auto;
  max-width: 78rem;
  padding: 2.5rem 1.5rem 4rem;
  background: var(--ground);
  color: var(--ink);
  font: 1rem/1.5 Georgia, 'Times New Roman', serif;
}
h1 { font-size: 1.9rem; font-weight: normal; line-height: 1.2; margin: 0 0 0.4rem; }
h2 { font-size: 1.2rem; font-weight: normal; margin: 2.5rem 0 0.8rem; }
a { color: inherit; text-underline-offset: 0.15em; }
p { margin: 0.3rem 0; max-width: 46rem; }
.soft { color: var(--soft); }
.grid { display: grid; gap: 1.5rem; grid-template-columns: repeat(auto-fill, minmax(13rem, 1fr)); list-style: none; margin: 0; padding: 0; }
.leaf { background: var(--leaf); border: 1px solid var(--line); border-radius: 3px; display: flex; flex-direction: column; overflow-wrap: anywhere; padding: 0.9rem; }
.leaf img { display: block; height: 12rem; margin: 0 auto 0.8rem; max-width: 100%; object-fit: contain; }
.leaf h3 { font-size: 1rem; margin: 0 0 0.2rem; }
dl { display: grid; font-size: 0.9rem; gap: 0 0.8rem; grid-template-columns: auto 1fr; margin: 0.4rem 0 0; }
dt { color: var(--soft); }
dd { margin: 0; }
.good { color: var(--good); }
.look { color: var(--look); }
.bad { color: var(--bad); }
.label { border: 1px solid currentcolor; border-radius: 2px; font: 0.65em/1.2 ui-monospace, monospace; margin: 0 0.15em; padding: 0 0.25em; vertical-align: 0.1em; white-space: nowrap; }
@media print { body { background: none; } .leaf { break-inside: avoid; } }
`;
