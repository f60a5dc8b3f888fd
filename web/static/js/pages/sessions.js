/** The page of all sessions, and the page about one. */

import { adder } from '../ui/adder.js';

document.querySelectorAll('[data-adder]').forEach(adder);
