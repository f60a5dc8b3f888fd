/** A field that completes trade words: type a part, walk with the arrows, take with Enter. ARIA combobox with a listbox. */

import { matches } from '../model/diary_typed.js';

/** `box` holds the field; `onChange(ids)` hears of every change. With `data-many` it holds several words. */
export function combo(box, onChange = () => {}) {
  const input = box.querySelector('input');
  const list = box.querySelector('[role="listbox"]');
  const picked = box.querySelector('[data-picked]');
  const isMany = 'many' in box.dataset;
  let words = [];
  let ids = [];
  let shown = [];
  let at = -1;

  const labelOf = (id) => words.find((word) => word.id === id)?.label ?? id;

  function close() {
    list.hidden = true;
    at = -1;
    input.setAttribute('aria-expanded', 'false');
    input.removeAttribute('aria-activedescendant');
    if (!isMany) input.value = ids.length ? labelOf(ids[0]) : '';
  }

  function mark(position) {
    at = position;
    [...list.children].forEach((option, index) => option.setAttribute('aria-selected', String(index === at)));
    const option = list.children[at];
    if (!option) return input.removeAttribute('aria-activedescendant');
    input.setAttribute('aria-activedescendant', option.id);
    option.scrollIntoView({ block: 'nearest' });
  }

  function open(typed) {
    shown = matches(words, typed).filter((word) => !isMany || !ids.includes(word.id));
    list.replaceChildren(
      ...shown.map((word, index) => {
        const option = document.createElement('li');
        option.id = `${list.id}-${index}`;
        option.role = 'option';
        option.dataset.id = word.id;
        option.append(word.label, Object.assign(document.createElement('small'), { textContent: word.meaning }));
        return option;
      }),
    );
    list.hidden = shown.length === 0;
    input.setAttribute('aria-expanded', String(!list.hidden));
    mark(typed.trim() && shown.length ? 0 : -1);
  }

  function draw() {
    if (!isMany) {
      input.value = ids.length ? labelOf(ids[0]) : '';
      return;
    }
    picked.replaceChildren(
      ...ids.map((id) => {
        const item = document.createElement('li');
        const button = Object.assign(document.createElement('button'), { type: 'button', className: 'chip', textContent: `${labelOf(id)} ×` });
        button.setAttribute('aria-label', `Drop ${labelOf(id)}`);
        button.addEventListener('click', () => change(ids.filter((one) => one !== id)));
        item.append(button);
        return item;
      }),
    );
  }

  function change(next) {
    ids = next;
    draw();
    onChange(ids);
  }

  function take(id) {
    change(isMany ? [...ids, id] : [id]);
    if (isMany) input.value = '';
    close();
    if (!isMany && document.activeElement === input) input.select(); // what is typed next is a new search
  }

  input.addEventListener('input', () => {
    if (!isMany && ids.length) {
      const label = labelOf(ids[0]);
      if (input.value.length > label.length && input.value.startsWith(label)) input.value = input.value.slice(label.length);
      ids = [];
      onChange(ids);
    }
    open(input.value);
  });
  input.addEventListener('click', () => list.hidden && open(isMany ? input.value : ''));
  /** What is typed and not taken yet: the marked word counts as chosen. */
  function settle() {
    if (!isMany && !ids.length && at >= 0 && input.value.trim()) take(shown[at].id);
  }
  input.addEventListener('blur', () => {
    settle();
    close();
    if (isMany) input.value = '';
  });
  input.addEventListener('focus', () => !isMany && ids.length && input.select());
  input.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey) return;
    const { key } = event;
    if (key === 'ArrowDown' || key === 'ArrowUp') {
      if (list.hidden) open(isMany || !ids.length ? input.value : '');
      else mark((at + (key === 'ArrowDown' ? 1 : -1) + shown.length) % shown.length);
    } else if (key === 'Enter' && !list.hidden && at >= 0) take(shown[at].id);
    else if (key === 'Escape' && !list.hidden) {
      event.stopPropagation();
      close();
    } else if (key === 'Backspace' && isMany && !input.value && ids.length) change(ids.slice(0, -1));
    else return;
    event.preventDefault();
  });
  list.addEventListener('pointerdown', (event) => event.preventDefault());
  list.addEventListener('click', (event) => {
    const option = event.target.closest('[data-id]');
    if (option) take(option.dataset.id);
  });

  return {
    input,
    settle,
    get ids() {
      return ids;
    },
    set ids(next) {
      ids = [...next];
      draw();
    },
    set words(next) {
      words = next;
      draw();
    },
  };
}
