/** Dragging down the edge of the rows with a mouse or pen marks a stretch. (A finger scrolls; it has the buttons.) */

/** `rowOf(element)` finds a row; `onDrag(first, last)` hears of the rows drag over, `onEnd()` of its end. */
export function diaryDrag(root, rowOf, { onDrag, onEnd }) {
  let first = null;
  let hasMoved = false;
  const isEdge = (event) => {
    const row = event.target.closest('.diary-row');
    const text = row?.children[1];
    return row && event.clientX < text.getBoundingClientRect().left;
  };
  root.addEventListener('dragstart', (event) => event.preventDefault());
  root.addEventListener('pointerdown', (event) => {
    if (event.pointerType === 'touch' || event.button !== 0 || !isEdge(event)) return;
    first = rowOf(event.target);
    hasMoved = false;
    event.preventDefault();
  });
  root.addEventListener('pointermove', (event) => {
    const row = first && rowOf(document.elementFromPoint(event.clientX, event.clientY));
    if (!row || row.recording !== first.recording || (row === first && !hasMoved)) return;
    hasMoved = true;
    onDrag(first, row);
  });
  addEventListener('pointerup', () => {
    if (first && hasMoved) onEnd();
    first = null;
  });
  // A drag is no click: what would follow it is held back.
  root.addEventListener(
    'click',
    (event) => {
      if (hasMoved) event.stopPropagation();
      if (hasMoved) event.preventDefault();
      hasMoved = false;
    },
    true,
  );
}
