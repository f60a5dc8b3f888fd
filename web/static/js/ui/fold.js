/** On a narrow page its longer parts stand folded at first, so that the page can be looked over. */

export const isNarrow = () => matchMedia('(width < 48rem)').matches;

const partsOf = (root) => root.querySelectorAll('details[data-fold]');

/** The part that an address names is open. */
function openNamed() {
  const named = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
  if (!named) return;
  for (const part of partsOf(document)) if (part.contains(named) || part.parentElement === named) part.open = true;
}

export function foldParts(root) {
  if (isNarrow()) for (const part of partsOf(root)) part.open = false;
}

/** Parts that were opened or folded by hand stay so when the page is loaded again, after a change of it. */
function remember() {
  const key = `benchreel-folds ${location.pathname}`;
  const kept = JSON.parse(sessionStorage.getItem(key) ?? '{}');
  for (const part of partsOf(document)) {
    const name = part.querySelector('summary').textContent;
    part.open = kept[name] ?? part.open;
    part.querySelector('summary').addEventListener('click', () => {
      kept[name] = !part.open; // as it will be
      sessionStorage.setItem(key, JSON.stringify(kept));
    });
  }
}

/** Fold the parts of the page, and open the one that a link leads to. */
export function foldPage() {
  foldParts(document);
  remember();
  openNamed();
  addEventListener('hashchange', openNamed);
  document.addEventListener('click', (event) => event.target.closest('a[href^="#"]') && setTimeout(openNamed));
}
