/** The real server process with the fake conversation in it: killed and restarted by the tests. */
import { runServer } from '../../server/run.ts'
import { fakeConversation } from './fake-conversation.ts'

await runServer(async () => ({ conversation: fakeConversation({ hash: process.env.FAKE_HASH }), problems: [] }))
