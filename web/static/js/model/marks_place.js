/** The place of a mark after one of its buttons was pressed. No DOM. */

/** `kind` is zone, blade or side; a second press takes it back. */
export function placed(mark, kind, id) {
  if (kind !== 'zone') return { ...mark, [kind]: mark[kind] === id ? null : id };
  const zones = mark.zones.includes(id) ? mark.zones.filter((zone) => zone !== id) : [...mark.zones, id];
  return { ...mark, zones };
}
