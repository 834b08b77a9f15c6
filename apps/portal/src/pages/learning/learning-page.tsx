import { useQuery } from '@tanstack/react-query';
import { call } from '../../host/api';
import { useTitle } from '../../host/title';
import { Failed } from '../../kit/failed';
import { CautionLine, Loading } from '../../kit/notice';
import { LearningView } from './learning-view';

/** One's own scans as readers judged them. */
export function LearningPage() {
  useTitle('What readers made of your scans');
  const { data, error, refetch } = useQuery({
    queryKey: ['learning'],
    queryFn: ({ signal }) => call('myLearning', { signal }),
  });
  return (
    <div className="page">
      <h1>What readers made of your scans</h1>
      <p>Seen by you, and by the lead of the readers you send to. Your practices do not see it.</p>
      <h2 className="hidden">Views and measurements</h2>
      {error ? <Failed error={error} again={refetch} /> : null}
      {data ? <LearningView learning={data} /> : error ? null : <Loading what="what readers judged" />}
      <CautionLine />
    </div>
  );
}
