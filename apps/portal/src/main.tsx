import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { createRoot } from 'react-dom/client';
import { ApiError } from './host/api';
import { device, program, startDevice } from './host/device';
import { showPendingSignatures } from './pages/report/signatures-on-device';
import { makeRouter } from './router';
import './styles/tokens.css';
import './styles/base.css';
import './styles/kit.css';
import './styles/pages.css';

const client = new QueryClient({
  defaultOptions: {
    queries: {
      // Without a line the device itself answers.
      networkMode: 'always',
      staleTime: 10_000,
      // A short cut passes. Where there is known to be no line, whoever waits is told at once.
      retry: (times, error) =>
        times < 2 &&
        error instanceof ApiError &&
        error.code === 'NO_NETWORK' &&
        navigator.onLine &&
        device.line.justCut(),
    },
  },
});

startDevice(() => void client.invalidateQueries());
showPendingSignatures();
device.before('sendReferral', async ({ memberId, params }) => {
  const { announceKept } = await import('./host/uploads/announce-kept');
  await announceKept(memberId, params['referralId'] ?? '');
});
// After the page: what it needs first is not to wait behind what it may need some day.
globalThis.addEventListener('load', () => {
  if (import.meta.env.PROD) void program.start();
  // Files that an earlier page left go on by themselves, whatever page is open.
  void import('./host/uploads/uploads');
});

const root = document.getElementById('root');
if (root) {
  createRoot(root).render(
    <QueryClientProvider client={client}>
      <RouterProvider router={makeRouter(client)} />
    </QueryClientProvider>,
  );
}
