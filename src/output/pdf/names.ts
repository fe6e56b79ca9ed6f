import { createHash } from 'node:crypto';

/**
 * A name as it is shown: two names that differ never look the same. A character that can't be seen is shown by its
 * code point, and a name that another one could be mistaken for has a tag.
 */
export interface ShownName {
  readonly parts: readonly NamePart[];
  /** Six letters and digits that stand for the name as it is spelled, character by character. */
  readonly tag: string | undefined;
}

export type NamePart =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'code'; readonly codePoint: number };

/** How a name is shown. */
export function shownName(name: string): ShownName {
  const composed = name.normalize('NFC');
  const parts = partsOf(Array.from(composed));
  const text = parts.map((part) => (part.kind === 'text' ? part.text : ' ')).join('');
  return { parts, tag: composed === name && isUnmistakable(text) ? undefined : tagOf(name) };
}

/** Crockford's digits, which leave out the letters that look like others. */
const DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
/**
 * Digits of a tag: 30 bits, so that among a thousand names two alike come about once in two thousand folders, and a tag
 * still is read aloud.
 */
const TAG_LENGTH = 6;

/** The tag of a name, the same every time: 30 bits of SHA-256 (FIPS 180-4) over its UTF-16 code units. */
export function tagOf(name: string): string {
  const bytes = createHash('sha256').update(Buffer.from(name, 'utf16le')).digest();
  return Array.from(bytes.subarray(0, TAG_LENGTH), (byte) => DIGITS[byte % DIGITS.length]).join('');
}

/** "U+1F98A". */
export function codePointInWords(codePoint: number): string {
  return `U+${codePoint.toString(16).toUpperCase().padStart(4, '0')}`;
}

const UNSEEN = /[\p{C}\p{Z}\p{Default_Ignorable_Code_Point}]/u;
const LETTER = /[\p{L}\p{M}\p{Extended_Pictographic}\p{Emoji_Modifier}]/u;
const JOINER = /[\u200c\u200d]/;
const EMOJI_STYLE = /[\ufe0e\ufe0f]/;

function partsOf(characters: readonly string[]): NamePart[] {
  const last = characters.findLastIndex((character) => character !== ' ');
  const parts: NamePart[] = [];
  let text = '';
  const isSeen = (character: string, i: number): boolean => {
    if (!UNSEEN.test(character)) return true;
    const [before, after] = [characters.at(i - 1) ?? '', characters.at(i + 1) ?? ''];
    if (character === ' ') return i > 0 && i < last && before !== ' ';
    if (i === 0) return false;
    // These change how their neighbours are drawn.
    if (EMOJI_STYLE.test(character)) return /\p{Emoji}/u.test(before);
    const follows = LETTER.test(before) || EMOJI_STYLE.test(before);
    return JOINER.test(character) && follows && LETTER.test(after);
  };
  const close = (): void => {
    if (text !== '') parts.push({ kind: 'text', text });
    text = '';
  };
  for (const [i, character] of characters.entries()) {
    if (isSeen(character, i)) {
      text += character;
      continue;
    }
    close();
    parts.push({ kind: 'code', codePoint: character.codePointAt(0) ?? 0 });
  }
  close();
  return parts;
}

/*
 * What follows is common practice in the main (after Unicode Technical Standard 39, which names the kinds of
 * lookalikes); what two characters our typefaces draw with the very same outline is measured in a test.
 */

/** Scripts none of whose letters look like those of another. */
const OWN_SHAPES = [
  ...['Devanagari', 'Bengali', 'Gurmukhi', 'Gujarati', 'Tamil', 'Telugu', 'Kannada', 'Malayalam'],
  ...['Sinhala', 'Thai', 'Myanmar', 'Ethiopic', 'Khmer'],
].map((script) => String.raw`\p{Script=${script}}`);

/** Characters that no other of them looks like, taken word by word: see the functions below. */
const ORDINARY = [
  // Latin, with the signs of Windows code page 1252 that look like no others.
  String.raw`\x20-\x7e¡-§©-¬®°-³¶·¹-¿À-ÏÑ-ÿ€ƒ†‡‰ŠŒŽ‘’“”•–—™š›œžŸ‹`,
  String.raw`\u0100-\u0130\u0134-\u0137\u0139-\u013e\u0141-\u0148\u014a-\u017e`,
  'ıƠơƯưǍ-ǜǦ-ǭǴǵǸ-țȞȟȦ-ȳḀ-ẙẞẠ-ỹƏəƁɓƊɗƐɛƘƙƔɣƳƴ',
  // Greek, Cyrillic, Armenian, Georgian, Hebrew, Arabic and Persian.
  String.raw`\u0386\u0388-\u03ce\u1f00-\u1ffc`,
  String.raw`\u0400-\u045f\u0490-\u04bf\u04c1-\u04ce\u04d0-\u04ff`,
  String.raw`\u0531-\u0556\u0561-\u0587\u10d0-\u10f6`,
  String.raw`\u05b0-\u05b9\u05bb\u05bc\u05c1\u05c7\u05d0-\u05ea`,
  String.raw`\u0621-\u063a\u0641-\u0652پچڈڑژٹکگی`,
  // Chinese, Japanese and Korean, with their punctuation.
  String.raw`々〆\u3041-\u3096\u30a1-\u30faー\u3105-\u312f\u3131-\u3163\u4e00-\u9fff\uac00-\ud7a3`,
  '、。「」『』【】《》〈〉・～！（），：；？',
  String.raw`\p{Extended_Pictographic}`,
];
const ALL_ORDINARY = new RegExp(`^[${[...OWN_SHAPES, ...ORDINARY].join('')}]*$`, 'u');

/** Of these, what another one looks like all the same. */
const LOOKALIKE =
  /(?![0-9])\p{Nd}|[\u0bd7\u17a3⬛🟧🤶👬👭🤴🫅🕺🫃🫄]|(\p{M})\1|เเ|[\u0e48-\u0e4b][\u0e31\u0e34-\u0e3a\u0e4d]|\u0e4d[\u0e48-\u0e4b]?\u0e32|(?:\u0b92|\u0bc6)\u0bb3|[\u1100-\u11ff]/u;
const COMPATIBLE = /[ª²³¹º¼-¾™\u0e33\u3131-\u3163～！（），：；？]/u;

function isUnmistakable(text: string): boolean {
  if (!ALL_ORDINARY.test(text) || LOOKALIKE.test(text) || !isOneDirection(text)) return false;
  const plain = Array.from(text, (character) => (COMPATIBLE.test(character) ? '' : character));
  if (plain.join('').normalize('NFKC') !== plain.join('')) return false;
  const words = text.match(/[\p{L}\p{M}]+/gu) ?? [];
  return isOneAlphabet(text) && words.every((word) => isOneArabic(word) && isOneJapanese(word));
}

/** Where both directions meet, the same sight can be read from two orders of the characters. */
function isOneDirection(text: string): boolean {
  const isLeftward = /[\p{Script=Hebrew}\p{Script=Arabic}]/u;
  const letters = text.match(/\p{L}/gu) ?? [];
  return new Set(letters.map((letter) => isLeftward.test(letter))).size < 2;
}

const ALPHABETS = [
  'Latin',
  'Greek',
  'Cyrillic',
  'Armenian',
  'Georgian',
  'Hebrew',
  'Arabic',
  'Ethiopic',
];
const OF_ALPHABET = ALPHABETS.map((name) => new RegExp(String.raw`\p{Script=${name}}`, 'u'));
const LATIN = OF_ALPHABET[0];
const ITS_LETTERS = OF_ALPHABET.map(({ source }) => source).join('');
const WORD = new RegExp(String.raw`[${ITS_LETTERS}][${ITS_LETTERS}\p{M}]*`, 'gu');

/** Greek, Cyrillic and other letters that look like Latin ones (or like a digit, or Greek like Cyrillic). */
const LIKE_LATIN =
  'ΑΒΕΖΗΙΚΜΝΟΡΤΥΧΓΠΦκοινρυχ' +
  'АВЕЅЗІЈКМНОРСТУҮХҺаезорсухѕіјһӔӕӘәӠӡӨө' +
  'ՕՍՏհոսցօզ' +
  'ןוס' +
  'اه' +
  'ዐ';
const LIKE_OTHERS = 'ABCEHIJKLMNOPSTUXYZacdeghijlnopqsuvwxyzəƏÆæ';

/**
 * Whether no letter can be taken for one of another alphabet. Each word is of one; and where a word reads as a Latin
 * one as well, as "Сара" in Cyrillic letters does, there is no Latin letter, and another word tells the alphabet.
 */
function isOneAlphabet(text: string): boolean {
  const words = text.match(WORD) ?? [];
  const alphabetsOf = (part: string): RegExp[] => OF_ALPHABET.filter((one) => one.test(part));
  if (words.some((word) => alphabetsOf(word).length > 1)) return false;
  const alphabets = alphabetsOf(text);
  const latin = words.filter((word) => LATIN.test(word));
  const others = words.filter((word) => !LATIN.test(word));
  const isOf = (word: string, letters: string): boolean =>
    Array.from(word.normalize('NFD').replace(/\p{M}/gu, '')).every((one) => letters.includes(one));
  if (others.some((word) => isOf(word, LIKE_LATIN))) {
    return alphabets.length === 1 && others.some((word) => !isOf(word, LIKE_LATIN));
  }
  return alphabets.length < 2 || !latin.some((word) => isOf(word, LIKE_OTHERS));
}

/** Arabic kaf and yeh have Persian twins, which look the same inside a word. */
function isOneArabic(word: string): boolean {
  // Letters that Arabic lacks tell which twins are meant.
  return /[پچڈڑژٹگ]/.test(word) ? !/[كيى]/.test(word) : !/[کی]|ى(?!$)/.test(word);
}

/** Katakana that look like other kana or like Chinese characters have one beside them that does not, and none of those. */
function isOneJapanese(word: string): boolean {
  const runs = word.match(/[ァ-ヺー]+/g) ?? [];
  return (
    runs.every((run) => /[^ロエニハカタトチオヘベペリー]/.test(run)) &&
    !/[ァ-ヺー][口工二力夕卜一千才八へべぺり]|[口工二力夕卜一千才八へべぺり][ァ-ヺー]/.test(word)
  );
}
