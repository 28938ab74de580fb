(function(){
var each=function(list,f){Array.prototype.forEach.call(list,f)};
var spans=function(e){return e.getAttribute('data-span').split(' ').map(function(s){return s.split(',').map(Number)})};
var phrases=[],stitches=[];
each(document.querySelectorAll('.rows .phrase'),function(e){phrases.push({e:e,spans:spans(e),stitches:[]})});
each(document.querySelectorAll('.chart .stitch[data-span]'),function(e){stitches.push({e:e,span:spans(e)[0],phrase:null,n:+e.getAttribute('data-stitch')})});
if(!phrases.length||!stitches.length)return;
stitches.sort(function(a,b){return a.n-b.n});
stitches.forEach(function(s){
var best=null,size=Infinity;
phrases.forEach(function(p){p.spans.forEach(function(q){
var inside=q[0]<=s.span[0]&&s.span[1]<=q[1],around=s.span[0]<=q[0]&&q[1]<=s.span[1];
if((inside||around)&&q[1]-q[0]<size){best=p;size=q[1]-q[0]}})});
s.phrase=best;if(best)best.stitches.push(s)});
var lit=[],at=-1,one=-1;
function light(phrase,only){
lit.forEach(function(e){e.classList.remove('lit')});lit=[];
if(!phrase)return;
var all=only?[only.e]:phrase.stitches.map(function(s){return s.e});
lit=[phrase.e].concat(all);lit.forEach(function(e){e.classList.add('lit')})}
function find(list,target){for(;target&&target!==document;target=target.parentNode)for(var k=0;k<list.length;k++)if(list[k].e===target)return list[k];return null}
document.addEventListener('mouseover',function(v){
var s=find(stitches,v.target);if(s){light(s.phrase,s);return}
var p=find(phrases,v.target);if(p)light(p)});
var bar=document.createElement('div');bar.className='follow';bar.setAttribute('role','group');bar.setAttribute('aria-label','Follow words and chart');
var live=document.createElement('span');live.className='ear';live.setAttribute('aria-live','polite');
function step(by){var to=at+by;while(phrases[to]&&!phrases[to].stitches.length)to+=by;if(!phrases[to])return;at=to;var p=phrases[at];light(p);one=p.stitches.length?stitches.indexOf(p.stitches[0]):one;p.e.scrollIntoView({block:'nearest'});live.textContent=p.e.textContent+': '+p.stitches.length+' in the chart'}
function stitch(by){one=Math.max(0,Math.min(stitches.length-1,one+by));var s=stitches[one];if(s.phrase){light(s.phrase,s);at=phrases.indexOf(s.phrase);s.phrase.e.scrollIntoView({block:'nearest'});live.textContent='stitch '+(one+1)+' of '+stitches.length+': '+s.phrase.e.textContent}}
[['Back a phrase',function(){step(-1)}],['Next phrase',function(){step(1)}],['Back a stitch',function(){stitch(-1)}],['Next stitch',function(){stitch(1)}]].forEach(function(b){
var e=document.createElement('button');e.type='button';e.textContent=b[0];e.addEventListener('click',b[1]);bar.appendChild(e)});
bar.appendChild(live);
bar.addEventListener('keydown',function(v){var k={ArrowLeft:-1,ArrowRight:1}[v.key];if(k){step(k);v.preventDefault()}k={ArrowUp:-1,ArrowDown:1}[v.key];if(k){stitch(k);v.preventDefault()}if(v.key==='Escape')light(null)});
var opening=document.querySelector('.opening');opening.parentNode.insertBefore(bar,opening);
})();
