/** A table that is wider than its frame stands as stacked rows, each cell beside the name of its column. */

const nameCells = (table) => {
  const heads = [...table.querySelectorAll('thead th')].map((head) => head.textContent.trim());
  table.style.setProperty('--letters', Math.max(...heads.map((head) => head.length)));
  for (const row of table.tBodies[0].rows) [...row.cells].forEach((cell, at) => (cell.dataset.head = heads[at] ?? ''));
};

export function stackTable(wrap) {
  const table = wrap.querySelector('table');
  let wide = 0; // the frame that the table needs when it is not stacked
  const look = () => {
    const isStacked = table.classList.contains('is-stacked');
    if (!isStacked) wide = wrap.scrollWidth;
    const needsStack = wrap.clientWidth < wide;
    if (needsStack) nameCells(table);
    if (needsStack !== isStacked) table.classList.toggle('is-stacked', needsStack);
  };
  new ResizeObserver(look).observe(wrap);
}
