/** The worker's own entry in the page's build; what it does is the codecs package's. */
import '@chordae/codecs/decode-worker';
