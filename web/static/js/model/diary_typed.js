/** Finds trade words by what is typed. Words are `{id, label, meaning, aliases}`. No DOM. */

const plain = (text) => text.toLowerCase().normalize('NFD').replace(/\p{M}/gu, '').replaceAll('_', ' ');

/** How well a word answers: 0 label or id starts so, 1 a part of the label or an alias does, 2 the meaning holds it. */
function rank(word, typed) {
  const starts = (text) => plain(text).startsWith(typed);
  if (starts(word.label) || starts(word.id)) return 0;
  if (plain(word.label).split(/\s+/).some((part) => part.startsWith(typed)) || word.aliases.some(starts)) return 1;
  if (plain(word.meaning).split(/[^\p{L}]+/u).some((part) => part.startsWith(typed))) return 2;
  return -1;
}

/** The words that answer what is typed, best first; all of them when nothing is typed. */
export function matches(words, typed) {
  const wanted = plain(typed.trim());
  if (!wanted) return words;
  return words
    .map((word, at) => ({ word, at, rank: rank(word, wanted) }))
    .filter(({ rank: found }) => found >= 0)
    .sort((one, two) => one.rank - two.rank || one.at - two.at)
    .map(({ word }) => word);
}
