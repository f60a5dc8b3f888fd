/** The page of all sessions, and the page about one. */

import { adder } from '../ui/adder.js';
import { keepFresh } from '../ui/keep_fresh.js';

const refresh = () => keepFresh().catch(() => {}); // the file is added all the same
document.querySelectorAll('[data-adder]').forEach((box) => adder(box, refresh));
