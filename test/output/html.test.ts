import { describe, expect, it } from 'vitest';
import { pictureHtml } from '../../src/output/html/html.js';

describe('pictureHtml', () => {
  it.each([
    ['nana.jpg', 'nana.jpg'],
    ['garden/a <b>.png', 'garden/a &#60;b&#62;.png'],
    ['.hidden', '.hidden'],
    ['جدة.jpg', '<bdi>جدة</bdi>.jpg'],
    ['кот/Бабушка.HEIC', '<bdi>кот</bdi>/<bdi>Бабушка</bdi>.HEIC'],
    ['nana .jpg', '<bdi>nana<span class="label">space</span></bdi>.jpg'],
    ['na\u200bna.jpg', '<bdi>na<span class="label">U+200B</span>na</bdi>.jpg'],
  ])('shows what is there: %j', (picture, html) => {
    expect(pictureHtml(picture)).toBe(html);
  });

  it('never shows two names alike', () => {
    const seen = ['Zoë.jpg', 'Zoe\u0308.jpg', 'Capa.jpg', 'Сара.jpg', 'nana.jpg', 'nana .jpg'].map(
      (picture) => pictureHtml(picture).normalize('NFC').replace('Сара', 'Capa'),
    );
    expect(new Set(seen).size).toBe(seen.length);
  });
});
