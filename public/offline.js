// The page's half of working offline: registers the service worker and says when a newer build is ready.
//
// A newer build is announced by the event `rackweek:update-ready` on window, and by the attribute
// `data-update="ready"` on the root element for a part that starts later. It is taken over when a part
// dispatches `rackweek:take-over`; then every open page reloads. `data-offline="ready"` on the root
// element says that the app will open without a network from now on.

const root = document.documentElement;

function announce() {
  root.dataset.update = 'ready';
  window.dispatchEvent(new CustomEvent('rackweek:update-ready'));
}

/** Asks a worker which build the person uses and which is the newest it has. */
function builds(worker) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(event.data);
    worker.postMessage({ type: 'which-build' }, [port2]);
  });
}

function follow(registration) {
  const worker = registration.installing;
  worker?.addEventListener('statechange', () => {
    // The first worker of all has nothing to replace.
    if (worker.state === 'installed' && registration.active) announce();
  });
}

async function start() {
  const registration = await navigator.serviceWorker.register('./sw.js', { updateViaCache: 'none' });
  registration.addEventListener('updatefound', () => follow(registration));
  follow(registration);
  if (registration.waiting) announce();

  window.addEventListener('rackweek:take-over', () => {
    const newest = registration.waiting ?? registration.active;
    newest?.postMessage({ type: 'take-over' });
  });
  navigator.serviceWorker.addEventListener('message', (event) => {
    if (event.data?.type === 'taken-over') window.location.reload();
  });
  navigator.serviceWorker.startMessages();

  const { active } = await navigator.serviceWorker.ready;
  root.dataset.offline = 'ready';
  // A build that was fetched before the browser restarted is active, yet not chosen.
  const { chosen, newest } = await builds(active);
  if (chosen !== newest) announce();

  document.addEventListener('visibilitychange', () => {
    // Without a network there is nothing newer to hear of.
    if (document.visibilityState === 'visible') registration.update().catch(() => {});
  });
}

// Without service workers, or with storage denied, the app still works online.
if ('serviceWorker' in navigator) {
  start().catch((problem) => console.warn('This browser will not keep the app for offline use:', problem));
}
