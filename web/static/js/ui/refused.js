/** Shows which fields of a form were refused: marks them, says why beside the first, and brings both into view. */

const SIDE_BY_SIDE = '.diary-range, .diary-pair, .row'; // the sentence stands below all of it

/** `place` is where the form says what went wrong; it goes back to its own place when no field is to blame. */
export function refusals(place) {
  const home = document.createComment('what went wrong');
  place.before(home);
  place.id ||= `refused-${Math.random().toString(36).slice(2)}`;
  let marked = [];

  function clear() {
    for (const field of marked) {
      field.removeAttribute('aria-invalid');
      field.removeAttribute('aria-describedby');
      field.removeEventListener('input', clear);
    }
    marked = [];
    place.hidden = true;
    home.after(place);
  }

  /** Show a sentence, and the fields that it is about, if it is about any. */
  function show(text, fields = []) {
    clear();
    place.textContent = text;
    place.hidden = false;
    marked = fields;
    for (const field of fields) {
      field.setAttribute('aria-invalid', 'true');
      field.setAttribute('aria-describedby', place.id);
      field.addEventListener('input', clear);
    }
    const [first] = fields;
    if (first) {
      const own = first.closest('.field');
      (own.closest(SIDE_BY_SIDE) ?? own).after(place);
      first.focus({ preventScroll: true });
      place.scrollIntoView({ block: 'nearest' });
      own.scrollIntoView({ block: 'nearest' });
    } else {
      place.scrollIntoView({ block: 'nearest' });
    }
  }

  return { show, clear };
}
