// Starts the compiled app. Inline scripts are forbidden by the page's policy, so this is a file.

import init from './rackweek.js';
import './offline.js';

init({ module_or_path: new URL('./rackweek_bg.wasm', import.meta.url) });
