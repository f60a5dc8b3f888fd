/** What differs between two versions of one thing. No DOM. */

const UNSHOWN = new Set(['id', 'version', 'words']);

const shown = (value) => {
  if (value === null || value === undefined || value === '') return '(nothing)';
  if (Array.isArray(value)) return value.map((item) => (typeof item === 'object' ? item.title || JSON.stringify(item) : item)).join(', ') || '(nothing)';
  return String(value);
};

/** Rows `{field, theirs, yours}` for every field whose values are not the same. */
export function differences(theirs, yours) {
  return Object.keys(theirs)
    .filter((key) => !UNSHOWN.has(key) && JSON.stringify(theirs[key] ?? null) !== JSON.stringify(yours[key] ?? null))
    .map((key) => ({ field: key.replaceAll('_', ' '), theirs: shown(theirs[key]), yours: shown(yours[key]) }));
}
