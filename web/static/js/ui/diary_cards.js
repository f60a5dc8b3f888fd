/** The cards beside the lines: put, replaced and taken away at the rows they are about. */

const keyOf = (kind, id) => `${kind} ${id}`;

export function diaryCards(root, rows, onChange) {
  const cards = new Map();
  const read = (element) => ({ element, kind: element.dataset.card, id: Number(element.dataset.id), value: JSON.parse(element.dataset.value) });
  const add = (element) => {
    const card = read(element);
    cards.set(keyOf(card.kind, card.id), card);
    return card;
  };
  root.querySelectorAll('[data-card]').forEach(add);

  function take(kind, id) {
    const card = cards.get(keyOf(kind, id));
    if (!card) return;
    cards.delete(keyOf(kind, id));
    const box = card.element.parentElement;
    card.element.remove();
    if (box && !box.children.length) box.remove();
  }

  return {
    get: (kind, id) => cards.get(keyOf(kind, id)),
    of: (kind) => [...cards.values()].filter((card) => card.kind === kind),
    /** The card that an element belongs to. */
    holding(element) {
      const found = element.closest('[data-card]');
      return found ? cards.get(keyOf(found.dataset.card, found.dataset.id)) : null;
    },
    /** Put a card (as HTML of our own server) where it starts, in place of an older one. */
    put({ kind, value, html }) {
      take(kind, value.id);
      const template = document.createElement('template');
      template.innerHTML = html;
      const element = template.content.querySelector('[data-card]');
      const row = rows.ofCard(value.recording_id, Number(element.dataset.start), Number(element.dataset.end));
      let box = row.element.querySelector('.diary-cards');
      if (!box) {
        box = Object.assign(document.createElement('div'), { className: 'diary-cards' });
        row.element.children[1].after(box);
      }
      const later = [...box.children].find((one) => Number(one.dataset.start) > Number(element.dataset.start));
      box.insertBefore(element, later ?? null);
      const card = add(element);
      onChange(value.recording_id);
      return card;
    },
    remove(kind, id) {
      const card = cards.get(keyOf(kind, id));
      take(kind, id);
      if (card) onChange(card.value.recording_id);
    },
    /** Read the cards of a chapter anew whose HTML was replaced. */
    reread(section, recording) {
      for (const [key, card] of cards) if (card.value.recording_id === recording) cards.delete(key);
      section.querySelectorAll('[data-card]').forEach(add);
      onChange(recording);
    },
  };
}
