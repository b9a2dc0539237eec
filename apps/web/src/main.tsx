import '@fontsource/atkinson-hyperlegible/400.css';
import '@fontsource/atkinson-hyperlegible/700.css';
import './style/tokens.css';
import './style/base.css';
import './style/frame.css';
import './style/forms.css';
import './style/drawing.css';
import { MutationCache, QueryCache, QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Problem } from './api.js';
import { router } from './router.js';

const client: QueryClient = new QueryClient({
  queryCache: new QueryCache({ onError: askToSignInAgain }),
  mutationCache: new MutationCache({ onError: askToSignInAgain }),
  defaultOptions: {
    queries: { retry: (count, error) => !(error instanceof Problem) && count < 2, staleTime: 10_000 },
  },
});

/** When the session ran out the sign-in comes up over the page, which keeps what was typed. */
function askToSignInAgain(error: Error) {
  if (error instanceof Problem && error.isSignedOut) client.setQueryData(['session'], null);
}

const root = document.getElementById('innerglove');
if (!root) throw new Error('The page has no element to stand in.');
createRoot(root).render(
  <StrictMode>
    <QueryClientProvider client={client}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </StrictMode>,
);
