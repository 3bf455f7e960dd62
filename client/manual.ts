import { type Disposable, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';

const pageRequest = new RequestType<{ code: string }, string | null, void>('pourbook/page');

/** The scheme under which the code of a problem opens what the manual says of it, read-only. */
export const PAGES = 'pourbook-page';

export function manualPages(client: BaseLanguageClient): Disposable {
  return workspace.registerTextDocumentContentProvider(PAGES, {
    provideTextDocumentContent: ({ path }) => client.sendRequest(pageRequest, { code: path.replace(/^\/|\.md$/g, '') }),
  });
}
