import './use.js';
import './page.js';
import './draw.js';
