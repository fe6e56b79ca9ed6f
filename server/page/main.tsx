import { render } from 'preact';
import { Page } from './page.js';
import { createPageModel } from './page-model.js';

const model = createPageModel();
const root = document.getElementById('page');
if (root) render(<Page model={model} />, root);
void model.restore();
// Where Back and Forward lead.
window.addEventListener('popstate', () => void model.restore());
