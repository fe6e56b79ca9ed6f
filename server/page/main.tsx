import { render } from 'preact';
import { Page } from './page.js';
import { createWork } from './work.js';

const work = createWork();
const root = document.getElementById('page');
if (root) render(<Page work={work} />, root);
void work.restore();
// Where Back and Forward lead.
window.addEventListener('popstate', () => void work.restore());
